import type { Protocol, ProtocolTask } from '@unhindered/shared-types';

/** One task in the strip of a sheet. */
export interface Pip {
  task: string;
  title: string;
  done: boolean;
  /** Starts a new section: its letter stands before the pip. */
  letter: string | null;
  /** Its place in the protocol, from 1, also when others are left out of the strip. */
  number: number;
}

/** The strip of `shown` tasks, in the order of the protocol. */
export const pipsOf = (
  protocol: Protocol,
  shown: readonly ProtocolTask[],
  done: (task: string) => boolean,
): Pip[] => {
  const places = protocol.sections.flatMap((s) => s.tasks.map((t) => ({ id: t.id, section: s })));
  const sectionOf = (task?: string) => places.find((p) => p.id === task)?.section;
  return shown.map((t, i) => {
    const section = sectionOf(t.id);
    return {
      task: t.id,
      title: t.title,
      done: done(t.id),
      letter: section === sectionOf(shown[i - 1]?.id) ? null : (section?.letter ?? null),
      number: places.findIndex((p) => p.id === t.id) + 1,
    };
  });
};
