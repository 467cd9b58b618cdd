/** What is wrong with something typed: where, what, and what to do about it. Nothing typed is thrown away. */
export interface EntryFault {
  /** The measure's name, or the row and column of a file. */
  place: string;
  fault: string;
  remedy: string;
}
