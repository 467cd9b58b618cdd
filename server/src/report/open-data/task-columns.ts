import type { ProtocolTask } from '@unhindered/shared-types';
import type { RecordSource } from '../record-source.ts';
import type { Column } from './columns.ts';
import { sectionOf } from './section-of.ts';

/** Columns of the file of tasks. */
export const taskColumns = (source: RecordSource): Column<ProtocolTask>[] => {
  const result = (t: ProtocolTask) => source.result.tasks.find((r) => r.task === t.id);
  const gate = (t: ProtocolTask) => source.state.gates.get(t.id);
  const figure = (
    f: { value: string } | { undefinedBecause: string } | undefined,
  ): number | null => (f && 'value' in f ? Number(f.value) : null);
  return [
    { name: 'task', type: 'id', meaning: 'Task of the protocol', of: (t) => t.id },
    { name: 'title', type: 'text', meaning: 'Its title', of: (t) => t.title },
    {
      name: 'section',
      type: 'id',
      meaning: 'Its section',
      of: (t) => sectionOf(source, t.id)?.id ?? null,
    },
    {
      name: 'section_weight',
      type: 'number',
      meaning: 'Weight of the section in the composite',
      of: (t) => sectionOf(source, t.id)?.weight ?? null,
    },
    {
      name: 'task_weight',
      type: 'number',
      meaning: 'Weight of the task in its section',
      of: (t) => t.weight,
    },
    {
      name: 'basis',
      type: 'id',
      meaning: 'relative (against the athlete without the equipment) or absolute',
      of: (t) => t.basis,
    },
    {
      name: 'state',
      type: 'id',
      meaning: 'Equipment state in which it is rated',
      of: (t) => t.state,
    },
    {
      name: 'n',
      type: 'number',
      meaning: 'Counted ratings on the scale',
      of: (t) => result(t)?.n ?? 0,
    },
    {
      name: 'median',
      type: 'number',
      meaning: 'Median of the counted ratings, steps',
      of: (t) => figure(result(t)?.median),
    },
    {
      name: 'settled',
      type: 'number',
      meaning: 'Settled value, steps',
      of: (t) => figure(result(t)?.settled),
    },
    {
      name: 'how',
      type: 'id',
      meaning: 'adopt, decide, leave-open or no-ratings',
      of: (t) => result(t)?.how ?? null,
    },
    {
      name: 'reason',
      type: 'text',
      meaning: 'Written reason of the settlement',
      of: (t) => source.state.settled.get(t.id)?.reason ?? null,
    },
    {
      name: 'divergent',
      type: 'yes-no',
      meaning: 'Diverged by the protocol’s rule',
      of: (t) => result(t)?.divergent ?? false,
    },
    {
      name: 'gate',
      type: 'id',
      meaning: 'confirmed or rejected; empty when no critical failure was decided',
      of: (t) => {
        const g = gate(t);
        return g ? (g.confirmed ? 'confirmed' : 'rejected') : null;
      },
    },
    {
      name: 'gate_backed_by_trials',
      type: 'yes-no',
      meaning: 'The decision rests on trials',
      of: (t) => gate(t)?.backedByTrials ?? null,
    },
    {
      name: 'gate_reason',
      type: 'text',
      meaning: 'Written reason of the decision',
      of: (t) => gate(t)?.reason ?? null,
    },
  ];
};
