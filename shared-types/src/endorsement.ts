/**
 * Whether reviewers would be content to see the piece worn by athletes in their care: statements beside the
 * figures, and in the composite only where the protocol gives them a weight. Who said what is on show from the lock.
 */
export interface EndorsementSlice {
  /** Reviewers who have said something. */
  stated: number;
  list: { seat: string; content: boolean; reason: string; at: string; tied: boolean }[] | null;
}
