import type { ParsedEntry } from '@unhindered/shared-types';

/** A valid trial as criteria and summaries read it; void ones stay out, with their reason, on the board. */
export interface MeasuredTrial {
  id: string;
  operator: string;
  /** With the equipment, or on the same athlete without it. Practice and hidden faults are asked for apart. */
  condition: 'equipment' | 'reference';
  /** What was measured, by measure id. */
  values: ReadonlyMap<string, Pick<ParsedEntry, 'value' | 'censored' | 'counts'>>;
  /** Whether the recorder marked the task's trial criterion as met, for what no measure tells; null: nobody judged it. */
  criterionSeen: boolean | null;
}
