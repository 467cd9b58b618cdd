/** The key of a board entry: the author's seat, then an id of the author's own. */
export const boardKey = (seat: string, id: string): string => `${seat}/${id}`;
export const BOARD_KEY = /^(st_[A-Za-z0-9_-]{22})\/([A-Za-z0-9_-]{22})$/u;
/** The seat that wrote the entry under this key; undefined when it is no key of an entry. */
export const authorOfKey = (key: string): string | undefined => BOARD_KEY.exec(key)?.[1];
