/** What a field that must not be left empty has to hold, as its `pattern`: something beside spaces. */
export const SAYS = '.*\\S.*';
