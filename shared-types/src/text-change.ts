/** The smallest single edit that turns one text into another; undefined when they are equal. */
export const textChange = (
  from: string,
  to: string,
): { at: number; remove: number; insert: string } | undefined => {
  if (from === to) return undefined;
  let at = 0;
  while (at < from.length && at < to.length && from[at] === to[at]) at++;
  // Never between the two halves of one sign.
  if (at > 0 && /[\ud800-\udbff]/u.test(from[at - 1] ?? '')) at--;
  let end = 0;
  while (
    end < from.length - at &&
    end < to.length - at &&
    from[from.length - 1 - end] === to[to.length - 1 - end]
  ) {
    end++;
  }
  if (end > 0 && /[\udc00-\udfff]/u.test(from[from.length - end] ?? '')) end--;
  return { at, remove: from.length - at - end, insert: to.slice(at, to.length - end) };
};
