import type { ProtocolSection } from '@unhindered/shared-types';
import type { RecordSource } from '../record-source.ts';

/** The section a task stands in. */
export const sectionOf = (source: RecordSource, task: string): ProtocolSection | undefined =>
  source.protocol.sections.find((s) => s.tasks.some((t) => t.id === task));
