import type { Protocol } from '@unhindered/shared-types';
import { DEMO_PROTOCOL } from '../protocol/demonstration.ts';

/** Left out of the demonstration: an advanced skill that its panel does not hold the licence for. */
const LEFT_OUT = 'tracheal-intubation';

/** The demonstration's protocol, made from the shipped one and marked as invented. */
export const demoProtocol = (shipped: Protocol, version: string): Protocol => ({
  ...shipped,
  id: DEMO_PROTOCOL,
  version,
  title: 'Sideline Access Protocol, demo (invented)',
  invented: true,
  sections: shipped.sections.map((s) => ({
    ...s,
    tasks: s.tasks.filter((t) => t.id !== LEFT_OUT),
  })),
});
