/** Fields that somebody typed into since the page was loaded. */
const touched = new Set<Element>();

/** Begins to notice what is typed; once, when the page starts. */
export const noticeTyping = (): void =>
  document.addEventListener('input', ({ target }) => {
    if (target instanceof Element) touched.add(target);
  });

/**
 * Whether something that was typed would be lost with the page: a text that still stands in its field, or a choice in a
 * form. Searches are none, nor is what stands in a part of the page with `data-kept`, which keeps it as it is typed.
 */
export const halfFilled = (): boolean =>
  [...touched].some((field) => {
    if (!field.isConnected || field.closest('[data-kept], [type="search"]')) return false;
    const choice = field.matches('select, [type="radio"], [type="checkbox"], [type="range"]');
    if (choice) return field.closest('form') !== null;
    return (field as HTMLInputElement).value.trim() !== '';
  });
