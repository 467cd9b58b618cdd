/** What wrong codes have closed. */
export interface CodeClosing {
  /** The last time something was closed. */
  at: string;
  /** Sources that were closed in the last hour. */
  sources: number;
  /** Until when nobody's typed codes are taken; null when they are. */
  everybodyUntil: string | null;
  /** Until when the last closed source waits; null when none does. */
  sourceUntil: string | null;
}

/** The one door that typed codes come through, for everybody on this server. */
export interface CodeDoor {
  /** Counts a try before it is made; seconds to wait, 0 when it may be made. */
  take(source: string): Promise<number>;
  /** The code was right: the try does not count. */
  giveBack(source: string): Promise<void>;
  /** What was closed within the last hour; null when nothing was. */
  closing(): CodeClosing | null;
  /** Forgets every wrong try. */
  reopen(): void;
  /** Called when something is closed that was open. */
  closed: () => void;
}
