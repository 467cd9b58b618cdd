/** The server's own running log: what an operator needs, never a secret, never a rating. */
export interface Log {
  info(message: string, facts?: Record<string, string | number>): void;
  error(message: string, error: unknown): void;
}
