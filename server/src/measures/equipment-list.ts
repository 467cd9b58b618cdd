import type { Protocol } from '@unhindered/shared-types';

/** One thing to bring, and the tasks that ask for it, in protocol order. */
export interface ListedEquipment {
  title: string;
  tasks: string[];
}

/**
 * Tools that the chosen tasks use, in the protocol's order. A tool that the protocol does not describe stands under
 * its id, rather than be left at home.
 */
export const equipmentList = (
  protocol: Pick<Protocol, 'tools' | 'sections'>,
  chosen: ReadonlySet<string>,
): ListedEquipment[] => {
  const tasks = protocol.sections.flatMap((s) => s.tasks).filter((t) => chosen.has(t.id));
  const described = protocol.tools.map((tool) => tool.id);
  const others = tasks.flatMap((t) => t.tools).filter((id) => !described.includes(id));
  return [...new Set([...described, ...others])].flatMap((id) => {
    const users = tasks.filter((t) => t.tools.includes(id)).map((t) => t.title);
    const title = protocol.tools.find((tool) => tool.id === id)?.title ?? id;
    return users.length > 0 ? [{ title, tasks: users }] : [];
  });
};
