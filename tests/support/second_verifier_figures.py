"""The second verifier's figures (FORMAT.md, section 7)."""
import math
from second_verifier_trials import against, evidence


def decimal(x):
    """12 significant digits, without exponent, trailing zeros or negative zero."""
    mantissa, exponent = ('%.11e' % x).split('e')
    sign = '-' if mantissa.startswith('-') else ''
    digits, point = mantissa.lstrip('-').replace('.', '').rstrip('0'), int(exponent) + 1
    if not digits:
        return '0'
    if point <= 0:
        return sign + '0.' + '0' * -point + digits
    whole, rest = digits[:point].ljust(point, '0'), digits[point:]
    return sign + whole + ('.' + rest if rest else '')


def figure(x, why):
    return {'undefinedBecause': why} if x is None else {'value': decimal(x)}


def middle(values):
    s, n = sorted(values), len(values)
    return s[n // 2] if n % 2 else (s[n // 2 - 1] + s[n // 2]) / 2


def average(values):
    return values[0] + sum(v - values[0] for v in values) / len(values)


def t975(k):
    """The 0.975 quantile of Student's t with k degrees: its distribution is a finite sum for whole k."""
    def inside(theta):
        c, s = math.cos(theta), math.sin(theta)
        term, total = (c if k % 2 else 1.0), 0.0
        for i in range(1 if k % 2 else 0, k - 1, 2):
            total += term
            term *= c * c * (i + 1) / (i + 2)
        if k % 2 == 0:
            return s * total
        return 2 / math.pi * (theta + s * total)
    low, high = 0.0, math.pi / 2
    for _ in range(200):
        half = (low + high) / 2
        low, high = (half, high) if inside(half) < 0.95 else (low, half)
    return math.tan((low + high) / 2) * math.sqrt(k)


def weighted(protocol, value):
    total = weights = 0.0
    sections = []
    for section in protocol['sections']:
        w = s = 0.0
        rated = 0
        for task in section['tasks']:
            v = value(task['id'])
            if v is None or task['weight'] == 0:
                continue
            w, s, rated = w + task['weight'], s + task['weight'] * v, rated + 1
        mean = s / w if w > 0 else None
        if mean is not None:
            weights, total = weights + section['weight'], total + section['weight'] * mean
        sections.append((mean, rated))
    return (total / weights if weights > 0 else None), sections


NO_WEIGHT = 'no rated task carries weight'


def over_means(protocol, columns):
    def mean(task):
        values = [c[task] for c in columns if task in c]
        return average(values) if values else None
    return weighted(protocol, mean)[0]


def interval(protocol, columns, centre, without):
    k = len(columns)
    if centre is None:
        return {'undefinedBecause': NO_WEIGHT}
    if k < 3:
        return {'undefinedBecause': 'too few reviewers for an interval'}
    tasks = {t for c in columns for t in c}
    full = all(t in c for t in tasks for c in columns)
    if full:
        values = [over_means(protocol, [c]) or 0.0 for c in columns]
    elif any(w is None for w in without):
        return {'undefinedBecause': 'without one reviewer no rated task is left'}
    else:
        values = [k * centre - (k - 1) * w for w in without]
    m = average(values)
    s = math.sqrt(sum((v - m) ** 2 for v in values) / (k - 1))
    half = t975(k - 1) * s / math.sqrt(k)
    return {'lower': decimal(centre - half), 'upper': decimal(centre + half), 'method': 't' if full else 'jackknife-t'}


def means(protocol, reviewers):
    seats, columns = [r[0] for r in reviewers], [r[1] for r in reviewers]
    centre = over_means(protocol, columns)
    without = [over_means(protocol, columns[:i] + columns[i + 1:]) for i in range(len(columns))]
    return {
        'value': figure(centre, NO_WEIGHT),
        'interval': interval(protocol, columns, centre, without),
        'byReviewer': [{'seat': s, 'value': figure(over_means(protocol, [c]), NO_WEIGHT)} for s, c in reviewers],
        'leaveOneOut': [{'seat': s, 'value': figure(w, NO_WEIGHT)} for s, w in zip(seats, without)],
    }


def alpha(units):
    units = [u for u in units if len(u) >= 2]
    if len(units) < 2:
        return {'undefinedBecause': 'one task alone says nothing about agreement over tasks' if units
                else 'no task with two ratings'}
    every = sorted(v for u in units for v in u)
    rank = {v: (every.index(v) + len(every) - 1 - every[::-1].index(v)) / 2 for v in set(every)}
    def pairs(values):
        return sum((rank[a] - rank[b]) ** 2 for a in values for b in values)
    expected = pairs(every)
    if expected == 0:
        return {'undefinedBecause': 'no variation: every rating is the same'}
    return figure(1 - sum(pairs(u) / (len(u) - 1) for u in units) * (len(every) - 1) / expected, '')


def apart(values, rule):
    if len(values) < 2:
        return False
    lone, centre = float(rule['lone']) - 1e-12, middle(values)
    if rule['id'] == 'strict':
        return max(values) - min(values) >= lone
    others = lambda i: centre if rule['id'] == 'lenient' else middle(values[:i] + values[i + 1:])
    if any(abs(v - others(i)) >= lone for i, v in enumerate(values)):
        return True
    spread = sum(abs(v - centre) for v in values) / len(values)
    return rule['split'] is not None and spread > float(rule['split']) + 1e-12


def composite(protocol, settled, statements):
    value, sections = weighted(protocol, settled.get)
    pairs = list(zip(protocol['sections'], sections))
    every = sum(s['weight'] for s, _ in pairs)
    used = sum(s['weight'] for s, (mean, _) in pairs if mean is not None)
    rule, whole, found, more = protocol.get('endorsement'), used, value, {}
    if rule is not None:
        yes, n = sum(statements), len(statements)
        point = (yes * rule['content'] + (n - yes) * rule['notContent']) / n if n else None
        enters = value is not None and n > 0 and rule['weight'] > 0
        if enters:
            whole = used + rule['weight']
            found = (sum(s['weight'] * mean for s, (mean, _) in pairs if mean is not None)
                     + rule['weight'] * point) / whole
        more = {'endorsement': {
            'value': figure(point, 'no counted reviewer has said'), 'content': float(yes), 'notContent': float(n - yes),
            'weight': decimal(rule['weight'] / whole if enters else 0.0), 'without': figure(value, NO_WEIGHT)}}
    return {
        'value': figure(found, NO_WEIGHT), 'weightUsed': decimal(used / every if every > 0 else 0.0),
        'provisional': every > 0 and used / every < 0.6, **more,
        'sections': [{'section': s['id'], 'value': figure(mean, 'no rated task'), 'of': float(len(s['tasks'])),
                      'weight': decimal(0.0 if mean is None else s['weight'] / whole), 'rated': float(rated)}
                     for s, (mean, rated) in pairs]}


def trials_of(protocol, board):
    rows = evidence(protocol, board)
    return {} if rows is None else {'evidence': [
        {'task': task, 'valid': float(n), 'done': float(done), 'share': decimal(done / n), 'lower': decimal(low),
         'upper': decimal(high), 'medianSeconds': figure(*median), 'criterion': status}
        for task, n, done, low, high, median, status in rows]}


def result(state, protocol, rule):
    ids = [t['id'] for s in protocol['sections'] for t in s['tasks']]
    opened, standing = state.opened(), state.board.standing()
    items = {t['id']: t for s in protocol['sections'] for t in s['tasks']}

    def ratings(task, everybody=False):
        row = state.ratings.get(task, {})
        return {s: row[s] for s in state.order
                if s in row and (everybody or task not in state.seats[s]['excluded'])}

    def steps(task, everybody=False):
        return {s: r['step'] for s, r in ratings(task, everybody).items() if r['step'] is not None}

    def reviewers(everybody):
        found = [(s, {t: steps(t, everybody)[s] for t in ids if s in steps(t, everybody)}) for s in state.order]
        return [(s, c) for s, c in found if c]

    def disputed(task):
        rows = list(ratings(task).values())
        scale = [r for r in rows if r['step'] is not None]
        return (any(r['critical'] is not None for r in rows) and any(r['critical'] is None for r in scale)
                or bool(scale) and any(r['answer'] == 'not-applicable' for r in rows))

    settled, tasks = {}, []
    for t in ids:
        values = list(steps(t).values()) if t in opened else []
        median = middle(values) if values else None
        how = state.settled.get(t)
        value = None if how is None else float(how['value']) if how['how'] == 'decide' else median
        if value is not None:
            settled[t] = value
        tasks.append({'task': t, 'settled': figure(value, 'no counted rating'),
                      'how': 'no-ratings' if value is None else how['how'], 'median': figure(median, 'no counted rating'),
                      'n': float(len(values)), 'divergent': t in opened and (
                          apart(values, rule) or disputed(t) or against(protocol, items[t], standing, values))})
    blocked = [t for t in ids if t in state.gates and state.gates[t]['confirmed']]
    counted = reviewers(False)
    statements = [state.endorsements[s] for s, _ in counted
                  if s in state.endorsements and not state.seats[s]['excluded']]
    return {
        'verdict': {'kind': 'care-was-blocked' if blocked else 'no-confirmed-critical-failure', 'tasks': blocked},
        'composite': composite(protocol, settled, statements),
        'means': means(protocol, counted), 'meansWithInterests': means(protocol, reviewers(True)),
        'alphaOrdinal': alpha([list(steps(t).values()) for t in ids if t in opened]),
        'tasks': tasks, 'counted': [s for s, _ in counted], **trials_of(protocol, state.board),
    }
