import type { Protocol, ProtocolTask } from './protocol.ts';

/** WD-4: the language that a protocol's words are in, for those who have them read out. */
export const languageOf = (p: Protocol): string => p.language ?? 'en';

/** The tasks of a protocol in its own order. */
export const protocolTasks = (p: Protocol): ProtocolTask[] => p.sections.flatMap((s) => s.tasks);
