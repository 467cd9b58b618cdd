import { protocolTasks, type Protocol } from '@unhindered/shared-types';
import type { TrialSetup } from './trial-draft.ts';

const keyOf = (evaluation: string): string => `bench:${evaluation}`;

/** The first task as the protocol rates it. */
export const setupFor = (protocol: Protocol, task: string | null): TrialSetup => {
  const tasks = protocolTasks(protocol);
  const found = tasks.find((t) => t.id === task) ?? tasks[0];
  return {
    task: found?.id ?? '',
    state: found?.state ?? '',
    condition: 'equipment',
    operator: '',
  };
};

/** What was being tried on this device before a reload; the protocol's first task when there is nothing good. */
export const readSetup = (
  evaluation: string,
  protocol: Protocol,
  store: Storage = localStorage,
): TrialSetup => {
  const start = setupFor(protocol, null);
  try {
    const kept = JSON.parse(store.getItem(keyOf(evaluation)) ?? '{}') as Partial<TrialSetup>;
    const known =
      protocolTasks(protocol).some((t) => t.id === kept.task) &&
      protocol.states.some((s) => s.id === kept.state);
    return known ? { ...start, ...kept } : start;
  } catch {
    return start;
  }
};

export const keepSetup = (
  evaluation: string,
  setup: TrialSetup,
  store: Storage = localStorage,
): void => store.setItem(keyOf(evaluation), JSON.stringify(setup));
