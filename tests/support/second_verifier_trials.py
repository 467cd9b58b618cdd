"""The second verifier's trials: who corrects and voids what, the criterion, evidence (FORMAT.md, sections 3, 5 and 7)."""
import math
from decimal import ROUND_HALF_UP, Decimal

Z975 = 1.959963984540054  # section 7: the 0.975 quantile of the normal distribution

# --- Section 3: the board ------------------------------------------------------------------------------------


class Board:
    """Every key that was posted, and the trials: each known by its first key, as its newest entry says it."""

    def __init__(self):
        self.keys, self.first, self.newest, self.void, self.posted, self.out = set(), {}, {}, set(), [], set()

    def take(self, d, actor, role):
        """Takes one `entry-posted`; what is wrong with it, or None."""
        seat, key, entry = d['seat'], d['key'], d['entry']
        if seat != actor or not key.startswith(seat + '/'):
            return 'entry of another seat'
        if key in self.keys:
            return 'entry posted twice'
        self.keys.add(key)
        if entry['kind'] == 'trial':
            return self.enter(seat, key, entry)
        if entry['kind'] == 'trial-void':
            if role != 'moderator' and not entry['trial'].startswith(seat + '/'):
                return 'void of a foreign trial'
            self.void.add(self.first.get(entry['trial']))
        return None

    def enter(self, seat, key, entry):
        old = entry['replaces']
        if old is not None and not old.startswith(seat + '/'):
            return 'correction of a foreign trial'
        root = self.first.get(old, key)
        self.first[key] = root
        self.newest[root] = entry
        self.posted.append(entry)
        return None

    def leave_out(self, model, out):
        (self.out.add if out else self.out.discard)(model)

    def standing(self):
        return [entry for root, entry in self.newest.items()
                if root not in self.void and entry.get('model') not in self.out]


# --- Section 5: trials and the protocol ----------------------------------------------------------------------

def tasks_of(protocol):
    return [t for s in protocol['sections'] for t in s['tasks']]


def strange(board, protocol):
    """The first trial that was ever entered and is not of this protocol."""
    tasks, states, measures = ({x['id'] for x in group} for group in
                               (tasks_of(protocol), protocol['states'], protocol['measures']))
    for entry in board.posted:
        fits = entry['task'] in tasks and entry['state'] in states
        if not fits or any(m['measure'] not in measures for m in entry['measures']):
            return entry
    return None


def misjudged(moment, protocol):
    """Whether a decision on a gate, or the lock, does not fit the trials that stood just before it."""
    kind, d, standing, gates, opened = moment
    tasks = {t['id']: t for t in tasks_of(protocol)}
    if kind == 'gate-decided':
        task = tasks.get(d['task'])
        return task is None or d['backedByTrials'] != (criterion(protocol, task, standing) == 'met')
    for name in opened & tasks.keys():
        gate = gates.get(name)
        settled = gate and (gate['confirmed'] or gate['backedByTrials'])
        if not settled and criterion(protocol, tasks[name], standing) == 'met':
            return True
    return False


# --- Section 7: evidence -------------------------------------------------------------------------------------

def counting(task, standing):
    return [t for t in standing
            if (t['task'], t['condition'], t['state']) == (task['id'], 'equipment', task['state'])]


def own_time(protocol, task):
    """The one measure of a task that its own seconds are the value of."""
    timed = [m['id'] for m in protocol['measures'] if m['unit'] == 's' and m['id'] in task['measures']]
    return timed[0] if len(timed) == 1 else None


def value_of(trial, measure, own):
    """A value of a trial, or None; and whether it is the time at which the task was still not done."""
    open_end = measure == own and not trial['done']
    if measure == own and trial['seconds'] is not None:
        return float(trial['seconds']), open_end
    typed = [float(m['value']) for m in trial['measures'] if m['measure'] == measure]
    return (typed[0] if typed else None), open_end


def tenth(x):
    """To tenths, halves up, of the 12 significant digits."""
    shown = Decimal('%.11e' % x)
    return float(shown.quantize(Decimal('0.1'), ROUND_HALF_UP))


def part_of(part, trial, references, own):
    """What one part of a criterion tells of a trial; None for nothing."""
    kind = part['kind']
    if kind == 'recorded':
        return trial['criterion']
    if kind == 'pooled-share':
        return None
    value, open_end = value_of(trial, part['measure'], own)
    if value is None or (open_end and kind != 'not-done-within'):
        return None
    if kind == 'not-done-within':
        at, cap = tenth(value), part['seconds']
        return at > cap if not open_end else True if at >= cap else None
    if kind in ('above', 'away-from-zero'):
        return (value if kind == 'above' else abs(value)) > part['limit']
    if value >= part['limit']:
        return False
    found = [value_of(r, part['measure'], own) for r in references if r['operator'] == trial['operator']]
    others = [x for x, late in found if x is not None and not late]
    return sum(others) / len(others) - value >= part['by'] - 1e-9 if others else None


def answers(protocol, task, standing):
    """True, false or None of each counting trial."""
    rule, own = task.get('criterion'), own_time(protocol, task)
    parts = [] if rule is None else rule['of'] if rule['kind'] == 'any' else [rule]
    references = [t for t in standing if t['task'] == task['id'] and t['condition'] == 'reference']
    found = []
    for trial in counting(task, standing):
        told = {part_of(p, trial, references, own) for p in parts}
        found.append(True if True in told else False if False in told else trial['criterion'])
    return found


def pooled(task, trials):
    """Successes and attempts of a pooled share that decides; None where none does."""
    rule = task.get('criterion')
    if task['critical'] is None or rule is None or rule['kind'] != 'pooled-share':
        return None
    counts = [m['counts'] for t in trials for m in t['measures'] if m['measure'] == rule['measure'] and m['counts']]
    if not counts and any(t['criterion'] is not None for t in trials):
        return None
    return sum(c['successes'] for c in counts), sum(c['of'] for c in counts)


def criterion(protocol, task, standing):
    share = pooled(task, counting(task, standing))
    if share is not None:
        (successes, attempts), rule = share, task['criterion']
        if attempts < rule['minAttempts']:
            return 'not-enough-trials'
        low_share = successes / attempts < rule['below']
        return 'met' if low_share and wilson(successes, attempts)[1] < rule['upperBelow'] else 'not-met'
    told = [x for x in answers(protocol, task, standing) if x is not None]
    least, share = protocol['gate']['minValidTrials'], protocol['gate']['minShareOfValidTrials']
    if task['critical'] is None or len(told) < least:
        return 'not-enough-trials'
    met = told.count(True)
    return 'met' if met >= least and met / len(told) >= share else 'not-met'


def wilson(done, n):
    p, z2 = done / n, Z975 * Z975
    centre, half = p + z2 / (2 * n), Z975 * math.sqrt(p * (1 - p) / n + z2 / (4 * n * n))
    low, high = (centre - half) / (1 + z2 / n), (centre + half) / (1 + z2 / n)
    return (0.0 if done == 0 else low), (1.0 if done == n else high)


def median_time(trials):
    """The middle time, with what was not done after every time; or why there is none."""
    times = [math.inf if not t['done'] else float(t['seconds']) for t in trials
             if not t['done'] or t['seconds'] is not None]
    if not times:
        return None, 'no timed trial'
    times.sort()
    middle = (times[(len(times) - 1) // 2] + times[len(times) // 2]) / 2
    return (None, 'half of the trials or more were not done') if middle == math.inf else (middle, '')


def evidence(protocol, board):
    """For each task with a trial that counts: its name and the raw figures; None when no trial was ever entered."""
    if not board.posted:
        return None
    found, standing = [], board.standing()
    for task in tasks_of(protocol):
        trials = counting(task, standing)
        if trials:
            done = sum(t['done'] for t in trials)
            low, high = wilson(done, len(trials))
            status = None if task['critical'] is None else criterion(protocol, task, standing)
            found.append((task['id'], len(trials), done, low, high, median_time(trials), status))
    return found


def against(protocol, task, standing, steps):
    """Whether the trials speak against one of the counted steps."""
    scale = protocol['scale']
    width = scale['max'] - scale['min']
    rule = protocol['divergence'].get('evidence', {'better': width / 2, 'worst': 0.0})
    if rule is None:
        return False
    hindrance = [s - scale['min'] if scale['better'] == 'lower' else scale['max'] - s for s in steps]
    status, trials = criterion(protocol, task, standing), counting(task, standing)
    if status == 'met':
        return any(h < rule['better'] for h in hindrance)
    if task['critical'] is None:
        clean = True
    elif pooled(task, trials) is not None:
        clean = status == 'not-met'
    else:
        clean = all(x is False for x in answers(protocol, task, standing))
    return (clean and all(t['done'] for t in trials) and len(trials) >= protocol['gate']['minValidTrials']
            and any(width - h <= rule['worst'] for h in hindrance))
