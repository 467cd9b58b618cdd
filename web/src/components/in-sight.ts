/** DK-5: scrolls a list by itself, and no further than needed, until `entry` can be seen in it; the page stays where it is. */
export const keepInSight = (list: Element, entry: Element): void => {
  const seen = list.getBoundingClientRect();
  const its = entry.getBoundingClientRect();
  if (its.top < seen.top) list.scrollTop += its.top - seen.top;
  else if (its.bottom > seen.bottom) list.scrollTop += its.bottom - seen.bottom;
};
