import { protocolTasks, type Declaration, type Protocol } from '@unhindered/shared-types';

/**
 * IN-1: a tie to the piece's maker or a rival takes a reviewer out of every task, a tie to a tool out of the
 * tasks that use it. Having designed a protocol item is declared and shown and takes nobody out.
 * Returns the tasks in protocol order.
 */
export const excludedTasks = (declaration: Declaration, protocol: Protocol): string[] => {
  const tasks = protocolTasks(protocol);
  const whole = declaration.ties.some((t) => t.to === 'maker' || t.to === 'rival');
  if (whole) return tasks.map((t) => t.id);
  const tools = new Set(declaration.ties.flatMap((t) => (t.to === 'tool' ? [t.tool] : [])));
  return tasks.filter((t) => t.tools.some((tool) => tools.has(tool))).map((t) => t.id);
};
