import type { Protocol, ProtocolTask } from './protocol.ts';

/** WD-4: the language that a protocol's words are in, for those who have them read out. */
export const languageOf = (p: Pick<Protocol, 'language'>): string => p.language ?? 'en';

/** Share that endorsements have in a composite for which everything was rated, 0..1; 0 where they are counted apart. */
export const endorsementShare = (p: Protocol): number => {
  const weight = p.endorsement?.weight ?? 0;
  return weight === 0 ? 0 : weight / p.sections.reduce((sum, s) => sum + s.weight, weight);
};

/** The tasks of a protocol in its own order. */
export const protocolTasks = (p: Protocol): ProtocolTask[] => p.sections.flatMap((s) => s.tasks);
