"""The second verifier's reader: canonical JSON, shapes and order (FORMAT.md, sections 1 to 3)."""
import hashlib, json, math, re, unicodedata

# --- Section 1: canonical JSON -------------------------------------------------------------------------------

class Broken(Exception):
    def __init__(self, step, what):
        super().__init__(what)
        self.step, self.what = step, what

def number(x):
    """A number as ECMAScript writes it."""
    if isinstance(x, int):
        x = float(x)
    if x != x or x in (math.inf, -math.inf):
        raise ValueError('not finite')
    if x == 0:
        return '0'
    sign, (digits, exponent) = ('-' if x < 0 else ''), repr(abs(x)).replace('E', 'e').partition('e')[::2]
    whole, _, rest = digits.partition('.')
    point = len(whole) + int(exponent or 0)
    figures = whole + rest
    lead = len(figures) - len(figures.lstrip('0'))
    figures, point = figures[lead:].rstrip('0'), point - lead
    k = len(figures)
    if k <= point <= 21:
        return sign + figures + '0' * (point - k)
    if 0 < point <= 21:
        return sign + figures[:point] + '.' + figures[point:]
    if -6 < point <= 0:
        return sign + '0.' + '0' * -point + figures
    e = point - 1
    tail = ('.' + figures[1:]) if k > 1 else ''
    return sign + figures[0] + tail + 'e' + ('+' if e > 0 else '-') + str(abs(e))

SHORT = {'"': '\\"', '\\': '\\\\', '\b': '\\b', '\f': '\\f', '\n': '\\n', '\r': '\\r', '\t': '\\t'}

def quoted(s):
    s.encode('utf-8')  # refuses lone surrogates
    return '"' + ''.join(SHORT.get(c) or ('\\u%04x' % ord(c) if c < ' ' else c) for c in s) + '"'

def canonical(v):
    if v is None or isinstance(v, bool):
        return {None: 'null', True: 'true', False: 'false'}[v]
    if isinstance(v, str):
        return quoted(v)
    if isinstance(v, (int, float)):
        return number(v)
    if isinstance(v, list):
        return '[' + ','.join(map(canonical, v)) + ']'
    names = sorted(v, key=lambda n: n.encode('utf-16-be', 'surrogatepass'))
    return '{' + ','.join(quoted(n) + ':' + canonical(v[n]) for n in names) + '}'

def depth(text):
    deepest = level = 0
    for c in re.sub(r'"(?:[^"\\]|\\.)*"', '', text, flags=re.S):
        level += (c in '[{') - (c in ']}')
        deepest = max(deepest, level)
    return deepest

def refuse(word):
    raise ValueError(word)

def read(text):
    if depth(text) > 32:
        raise ValueError('nested too deep')
    value = json.loads(text, parse_int=float, parse_constant=refuse)
    if canonical(value) != text:
        raise ValueError('not canonical')
    return value

# --- Section 2: shapes ---------------------------------------------------------------------------------------

SPACE = '\t\n\x0b\x0c\r \xa0\u1680' + ''.join(map(chr, range(0x2000, 0x200b))) + '\u2028\u2029\u202f\u205f\u3000\ufeff'
FORBIDDEN = re.compile('[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e\u2066-\u2069]')

def is_str(v): return isinstance(v, str)
def is_bool(v): return isinstance(v, bool)
def like(pattern): return lambda v: is_str(v) and re.fullmatch(pattern, v, re.A) is not None
def one(*words): return lambda v: is_str(v) and v in words
def maybe(shape): return lambda v: v is None or shape(v)
def many(shape, most=math.inf): return lambda v: isinstance(v, list) and len(v) <= most and all(map(shape, v))
def obj(optional={}, **shapes):
    every = {**shapes, **optional}
    return lambda v: (isinstance(v, dict) and shapes.keys() <= v.keys() <= every.keys()
                      and all(every[n](x) for n, x in v.items()))
def whole(low, high=2**53 - 1):
    return lambda v: isinstance(v, float) and v == int(v) and low <= v <= high
def text(low, high):
    return lambda v: (is_str(v) and not FORBIDDEN.search(v) and v == unicodedata.normalize('NFC', v).strip(SPACE)
                      and low <= len(v) <= high)
def line(low, high):
    runs = re.compile('[' + SPACE + ']+')
    return lambda v: text(low, high)(v) and runs.sub(' ', v) == v
def id_of(prefix): return like(prefix + '_[A-Za-z0-9_-]{22}')

REASON = text(1, 2000)
EV, PN, SEAT, DOC, LATE, SP, FIT, MEDIA, INCIDENT = map(id_of, ('ev', 'pn', 'st', 'dc', 'lt', 'sp', 'ft', 'md', 'ic'))
SLUG, HASH = like('[a-z0-9][a-z0-9-]{0,63}'), like('[0-9a-f]{64}')
INSTANT = like(r'\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z')
HALF, ROUND, COUNT = maybe(like(r'-?\d{1,3}(\.5)?')), whole(1), whole(0)
KEY = like('st_[A-Za-z0-9_-]{22}/[A-Za-z0-9_-]{22}')
ROLE = one('moderator', 'reviewer', 'observer', 'wall', 'recorder', 'operator')
RATING_SHAPE = obj(answer=one('step', 'not-applicable', 'not-observed', 'abstained'), step=maybe(whole(-100, 100)),
                   easier=is_bool, reason=maybe(text(3, 500)), critical=maybe(text(3, 1000)),
                   note=maybe(text(1, 2000)), at=maybe(INSTANT))
def RATING(v): return RATING_SHAPE(v) and (v['answer'] == 'step') == (v['step'] is not None)
SPECIMEN = obj(kind=one('helmet', 'pads', 'torso', 'combined', 'other'), sport=line(1, 60), maker=line(1, 80),
               model=line(1, 80), year=line(0, 20), size=line(0, 40), serial=line(0, 60), condition=line(0, 120),
               fastening=text(0, 500), suppliedBy=line(0, 120))
DETAILS = obj(kind=one('helmet', 'pads', 'torso', 'combined', 'other'), sport=line(1, 60), maker=line(1, 80), model=line(1, 80),
              year=line(0, 20), size=line(0, 40), serial=line(0, 60), condition=line(0, 120), ageStated=line(0, 60),
              made=maybe(like(r'\d{4}-(0[1-9]|1[0-2])-([12]\d|0[1-9]|3[01])')), massG=maybe(whole(1, 100000)), suppliedBy=line(0, 120),
              notes=text(0, 1000), pieces=many(SP, 12),
              hardware=many(obj(kind=line(1, 60), material=line(0, 60), count=whole(1, 200), condition=line(0, 120)), 40))
PIECE = dict(specimen=SP, details=DETAILS)
REGISTERED = obj(parts=many(obj(**PIECE)), **PIECE)
def filled(shape, most): return lambda v: many(shape, most)(v) and len(v) > 0
CHECK = obj(instructions=obj(title=line(1, 160), edition=line(0, 80)), checker=SEAT, problems=text(0, 1000),
            steps=filled(obj(what=line(1, 200), result=one('met', 'not-met', 'not-applicable'), remark=line(0, 300)), 60),
            model=obj(code=like('(?=[A-Z-]*[0-9])[A-Z0-9-]{1,12}'), size=line(0, 60)), seconds=maybe(whole(1, 36000)),
            comfort=maybe(obj(said=line(1, 300), usedToAnother=one('yes', 'no', 'unknown'), bias=line(0, 300))),
            outcome=one('passed', 'failed'))
TIES = [obj(to=one('maker', 'rival'), detail=text(3, 500)), obj(to=one('tool'), tool=SLUG, detail=text(3, 500)),
        obj(to=one('task'), task=SLUG, detail=text(3, 500))]
def TIE(v): return any(t(v) for t in TIES)
DECLARATION = obj(ties=many(TIE, 20), familiarity=one('none', 'seen', 'handled', 'daily'))

MODEL = like('(?=[A-Z-]*[0-9])[A-Z0-9-]{1,12}')
SINCE = {'since': INSTANT}
NOTE = obj(what=text(3, 1000), happenedAt=INSTANT, task=maybe(SLUG), trial=maybe(KEY), done=text(3, 1000),
           direction=one('informed', 'not-informed'))

PLACES = [obj(of=one('trial'), key=KEY), obj(of=one('task'), task=SLUG)]
def PLACE(v): return any(p(v) for p in PLACES)

DATA = {
    'evaluation-created': obj(
        optional={'reevaluates': EV, 'registered': REGISTERED, 'fitCheck': one('required')},
        evaluation=EV, panel=PN, title=is_str, specimen=SPECIMEN, board=DOC,
        protocol=obj(id=SLUG, version=is_str, hash=HASH), transport=one('tls', 'plain', 'loopback'),
        divergence=obj(id=one('D1', 'strict', 'lenient'), lone=is_str, split=maybe(is_str))),
    'specimen-corrected': obj(specimen=SP, old=DETAILS, new=DETAILS, reason=REASON),
    'fit-checked': obj(fit=FIT, check=CHECK, replaces=maybe(FIT), reason=maybe(REASON)),
    'fit-overridden': obj(reason=REASON),
    'endorsement-stated': obj(seat=SEAT, content=is_bool, reason=REASON),
    'evaluation-superseded': obj(by=EV, reason=REASON),
    'seat-taken': obj(seat=SEAT, role=ROLE, letter=maybe(like('[A-Z]{1,2}')), nameHash=HASH),
    'seat-revoked': obj(seat=SEAT, reason=REASON),
    'interest-declared': obj(seat=SEAT, declaration=DECLARATION, excluded=many(SLUG)),
    'round-started': obj(round=ROUND, tasks=many(SLUG), reason=maybe(REASON), sheets=many(obj(seat=SEAT, document=DOC))),
    'sheet-added': obj(round=ROUND, seat=SEAT, document=DOC),
    'sheet-finished': obj(round=ROUND, seat=SEAT),
    'sheet-resumed': obj(round=ROUND, seat=SEAT),
    'sheet-recorded': obj(round=ROUND, seat=SEAT, ratings=many(obj(task=SLUG, rating=RATING, changed=is_bool)),
                          remarks=many(obj(task=maybe(SLUG), text=is_str, at=INSTANT)), digest=HASH, nonce=HASH),
    'round-opened': obj(round=ROUND, missing=many(obj(seat=SEAT, unrated=whole(-math.inf, math.inf)))),
    'ratings-imported': obj(file=is_str, sha256=HASH, bytes=whole(1), rows=whole(1), empty=COUNT,
                            leftOut=many(obj(line=whole(1), column=is_str, fault=is_str)),
                            seats=many(obj(seat=SEAT, how=one('paper', 'matched'))),
                            rounds=many(obj(round=ROUND, tasks=many(SLUG), sheets=many(obj(
                                seat=SEAT, ratings=many(obj(task=SLUG, rating=RATING))))))),
    'rating-corrected': obj(round=ROUND, seat=SEAT, task=SLUG, old=maybe(RATING), new=RATING, reason=REASON),
    'late-offered': obj(late=LATE, round=ROUND, seat=SEAT, task=SLUG, rating=RATING, recorded=maybe(RATING)),
    'late-decided': obj(late=LATE, admitted=is_bool, reason=REASON),
    'task-settled': obj(task=SLUG, how=one('adopt', 'decide', 'leave-open'), value=HALF, old=HALF, reason=maybe(REASON)),
    'task-reopened': obj(task=SLUG, old=HALF, reason=REASON),
    'gate-decided': obj(task=SLUG, confirmed=is_bool, backedByTrials=is_bool, reason=REASON),
    'entry-posted': obj(seat=SEAT, key=KEY, entry=obj(kind=one('remark'), task=maybe(SLUG), text=text(1, 2000),
                                                      at=INSTANT, replaces=maybe(KEY))),
    'task-presented': obj(task=maybe(SLUG)),
    'evaluation-locked': obj(meaning=is_str, signedBy=SEAT, software=is_str, result=lambda v: True),
    'evaluation-withdrawn': obj(reason=REASON),
    'media-attached': obj(media=MEDIA, seat=SEAT, place=PLACE, size=whole(1), sha256=HASH, description=is_str,
                          type=one('image/jpeg', 'image/png', 'image/webp', 'video/mp4', 'video/quicktime')),
    'media-removed': obj(media=MEDIA, reason=REASON),
    'moment-marked': obj(media=MEDIA, seat=SEAT, ms=whole(0, 86_400_000), label=is_str),
    'clip-watched': obj(media=MEDIA, seat=SEAT),
    'observation-stated': obj(round=ROUND, seat=SEAT, how=one('present', 'live-elsewhere', 'recorded')),
    'everyone-stopped': obj(SINCE, seat=SEAT, reason=maybe(text(1, 500))),
    'everyone-resumed': obj(seat=SEAT, measures=text(1, 2000)),
    'briefing-acknowledged': obj(SINCE, seat=SEAT, text=HASH),
    'consent-recorded': obj(SINCE, seat=SEAT, model=MODEL),
    'consent-withdrawn': obj(SINCE, seat=SEAT, model=MODEL),
    'model-trials-decided': obj(model=MODEL, count=is_bool, reason=REASON),
    'incident-noted': obj(incident=INCIDENT, seat=SEAT, note=NOTE),
    'server-started': obj(software=is_str, before=maybe(is_str), unclean=is_bool),
    'clock-jumped': obj(ms=whole(-(2**53 - 1)), expected=INSTANT, shown=INSTANT, running=is_bool),
    'store-restored': obj(had=maybe(COUNT), has=COUNT),
}
ENVELOPE = obj(v=lambda v: v == 1.0 and not is_bool(v), log=is_str, seq=COUNT, at=INSTANT, clientAt=maybe(INSTANT),
               actor=is_str, role=is_str, device=maybe(is_str), cmd=maybe(is_str), type=is_str, data=lambda v: True)
BUNDLE = obj(format=one('unhindered-bundle/1'), software=is_str, log=EV, origin=is_str, vkey=is_str,
             events=many(is_str), checkpoints=many(is_str), protocol=is_str, result=lambda v: isinstance(v, dict),
             names=many(obj(seat=SEAT, name=is_str, salt=is_str)))

# --- Section 3: order ----------------------------------------------------------------------------------------

PSO, MOD = ('preparing', 'sealed', 'opened'), ('moderator',)
WORK = ('moderator', 'reviewer', 'recorder', 'operator')
ORDER = {
    'evaluation-created': (('new',), None, 'preparing'), 'seat-taken': (PSO, None, None),
    'specimen-corrected': (PSO, None, None), 'fit-checked': (PSO, ('moderator', 'recorder'), None),
    'fit-overridden': (('preparing', 'sealed'), MOD, None),
    'seat-revoked': (PSO, MOD, None), 'task-presented': (PSO, MOD, None),
    'interest-declared': (PSO, ('moderator', 'reviewer'), None),
    'entry-posted': (PSO, ('moderator', 'reviewer', 'recorder', 'operator'), None),
    'round-started': (('preparing', 'opened'), MOD, 'sealed'), 'sheet-added': (('sealed', 'opened'), None, None),
    'sheet-finished': (('sealed', 'opened'), ('reviewer',), None), 'late-offered': (('sealed', 'opened'), ('reviewer',), None),
    'sheet-resumed': (('sealed',), ('reviewer',), None),
    'sheet-recorded': (('sealed', 'opened'), ('moderator', 'reviewer'), None),
    'late-decided': (('sealed', 'opened'), MOD, None), 'round-opened': (('sealed',), MOD, 'opened'),
    'ratings-imported': (('preparing',), MOD, 'opened'),
    'rating-corrected': (('opened',), ('reviewer',), None), 'task-settled': (('opened',), MOD, None),
    'task-reopened': (('opened',), MOD, None), 'gate-decided': (('opened',), MOD, None),
    'evaluation-locked': (('opened',), MOD, 'locked'), 'evaluation-withdrawn': (PSO + ('locked',), MOD, 'withdrawn'),
    'endorsement-stated': (('opened',), ('reviewer',), None), 'evaluation-superseded': (('locked',), MOD, None),
    'media-attached': (PSO, ('moderator', 'reviewer', 'recorder', 'operator'), None),
    'media-removed': (PSO + ('locked', 'withdrawn'), MOD, None),
    'moment-marked': (PSO, ('moderator', 'reviewer', 'observer', 'recorder', 'operator'), None),
    'clip-watched': (PSO, ('reviewer',), None), 'observation-stated': (('sealed', 'opened'), ('reviewer',), None),
    'everyone-stopped': (PSO, WORK, None), 'briefing-acknowledged': (PSO, WORK, None),
    'everyone-resumed': (PSO, MOD, None), 'model-trials-decided': (PSO, MOD, None),
    'consent-recorded': (PSO, ('moderator', 'recorder'), None),
    'consent-withdrawn': (PSO, WORK + ('observer',), None), 'incident-noted': (PSO, WORK + ('observer',), None),
    'server-started': (PSO, ('system',), None), 'clock-jumped': (PSO, ('system',), None),
    'store-restored': (PSO, ('system',), None),
}

class State:
    def __init__(self):
        self.stage, self.seats, self.order, self.rounds = 'new', {}, [], []
        self.superseded, self.paper = False, None
        self.asked, self.fits, self.fixed, self.waived, self.pieces = False, {}, set(), -1, {}
        self.media, self.stopped, self.models, self.incidents, self.entries = {}, False, {}, set(), set()
        self.ratings, self.late, self.settled, self.gates = {}, {}, {}, {}

    def may_open(self):
        return not self.asked or list(self.fits.values())[-1:] == ['passed'] or self.waived == len(self.fits)

    def rate(self, task, seat, rating):
        self.ratings.setdefault(task, {})[seat] = rating

def need(held, what):
    if not held:
        raise Broken('order', what)

def allowed(s, e):
    stages, roles, _ = ORDER[e['type']]
    need(s.stage in stages, 'stage')
    if s.paper is not None:
        need(e['actor'] not in s.paper, 'seat from paper')
        need(e['type'] not in ('round-started', 'sheet-added', 'sheet-finished', 'sheet-recorded', 'late-offered'), 'beside paper')
    system = e['actor'] == 'system' and e['role'] == 'system'
    if system or roles == ('system',):
        return need(system and roles == ('system',), 'system')
    seat = s.seats.get(e['actor'])
    if s.stage == 'new' or (not seat and e['type'] in ('seat-taken', 'interest-declared', 'sheet-added', 'specimen-corrected')):
        return
    need(seat, 'no seat')
    need(seat['role'] == e['role'] and not seat['revoked'] and (roles is None or e['role'] in roles), 'role')

DAY = ('everyone-stopped', 'everyone-resumed', 'briefing-acknowledged', 'consent-recorded', 'consent-withdrawn',
       'model-trials-decided', 'incident-noted')

def take_day(s, kind, d, actor):
    if 'since' in d:
        need(s.stage == 'preparing', 'of an earlier time')
    elif 'seat' in d:
        need(d['seat'] == actor, 'for another seat')
    model = s.models.get(d.get('model'))
    if kind == 'everyone-stopped':
        s.stopped = True
    elif kind == 'everyone-resumed':
        need(s.stopped, 'nobody had stopped')
        s.stopped = False
    elif kind == 'consent-recorded':
        need(model is None, 'model known')
        s.models[d['model']] = 'there'
    elif kind == 'consent-withdrawn':
        need(model == 'there', 'model not there')
        s.models[d['model']] = 'left'
    elif kind == 'model-trials-decided':
        need(model == 'left', 'model has not left')
    elif kind == 'incident-noted':
        need(d['incident'] not in s.incidents, 'noted twice')
        need(d['note']['trial'] is None or d['note']['trial'] in s.entries, 'no such trial')
        s.incidents.add(d['incident'])

def unique(values):
    values = list(values)
    return len(values) == len(set(values))

def take_paper(s, d):
    named = [x['seat'] for x in d['seats']]
    rated = {x['seat'] for r in d['rounds'] for x in r['sheets']}
    need(unique(named) and rated == set(named), 'seats of paper')
    need(all(n in s.seats and s.seats[n]['role'] == 'reviewer' and not s.seats[n]['revoked'] for n in named), 'no reviewer')
    need(d['rounds'] and [r['round'] for r in d['rounds']] == list(range(1, len(d['rounds']) + 1)), 'rounds of paper')
    need(s.may_open(), 'paper without a fit check')
    s.paper = {x['seat'] for x in d['seats'] if x['how'] == 'paper'}
    for r in d['rounds']:
        seats = [x['seat'] for x in r['sheets']]
        need(unique(seats), 'rated twice')
        s.rounds.append({'tasks': r['tasks'], 'sheets': set(seats), 'recorded': set(seats), 'opened': True})
        for sheet in r['sheets']:
            tasks = [x['task'] for x in sheet['ratings']]
            need(unique(tasks) and set(tasks) <= set(r['tasks']), 'tasks of paper')
            for x in sheet['ratings']:
                s.rate(x['task'], sheet['seat'], x['rating'])

def take(s, e):
    kind, d = e['type'], e['data']
    if kind == 'evaluation-created':
        s.asked, whole_kit = 'fitCheck' in d, d.get('registered')
        s.pieces = {x['specimen']: x['details'] for x in [whole_kit] + whole_kit['parts']} if whole_kit else {}
    elif kind == 'specimen-corrected':
        need(s.pieces.get(d['specimen']) == d['old'], 'piece')
        s.pieces[d['specimen']] = d['new']
    elif kind == 'fit-checked':
        c, results = d['check'], [x['result'] for x in d['check']['steps']]
        need(d['fit'] not in s.fits and c['checker'] in s.seats, 'fit check')
        need(d['replaces'] is None or (d['replaces'] in s.fits and d['replaces'] not in s.fixed), 'correction of a fit check')
        need(c['outcome'] == 'failed' or ('met' in results and 'not-met' not in results), 'outcome of a fit check')
        s.fixed.add(d['replaces'])
        s.fits[d['fit']] = c['outcome']
    elif kind == 'fit-overridden':
        need(s.asked and not s.may_open(), 'nothing to override')
        s.waived = len(s.fits)
    elif kind == 'seat-taken':
        need(d['seat'] not in s.seats, 'taken twice')
        s.seats[d['seat']] = {'role': d['role'], 'hash': d['nameHash'], 'revoked': False, 'excluded': []}
        if d['role'] == 'reviewer':
            s.order.append(d['seat'])
    elif kind in ('seat-revoked', 'interest-declared'):
        need(d['seat'] in s.seats, 'unknown seat')
        s.seats[d['seat']].update({'revoked': True} if kind == 'seat-revoked' else {'excluded': d['excluded']})
    elif kind == 'round-started':
        need(d['round'] == len(s.rounds) + 1, 'rounds')
        s.rounds.append({'tasks': d['tasks'], 'sheets': {x['seat'] for x in d['sheets']}, 'recorded': set(), 'opened': False})
    elif kind == 'sheet-added':
        s.rounds[-1]['sheets'].add(d['seat'])
    elif kind == 'sheet-recorded':
        need(d['round'] <= len(s.rounds), 'no such round')
        r = s.rounds[int(d['round']) - 1]
        need(d['seat'] in r['sheets'] and d['seat'] not in r['recorded'], 'sheet')
        r['recorded'].add(d['seat'])
        for x in d['ratings']:
            s.rate(x['task'], d['seat'], x['rating'])
    elif kind == 'round-opened':
        need(not s.stopped, 'opened while all stand still')
        need(d['round'] != 1 or s.may_open(), 'opened without a fit check')
        s.rounds[-1]['opened'] = True
    elif kind == 'ratings-imported':
        take_paper(s, d)
    elif kind == 'rating-corrected':
        s.rate(d['task'], d['seat'], d['new'])
    elif kind == 'late-offered':
        s.late[d['late']] = dict(d, decided=False)
    elif kind == 'late-decided':
        offer = s.late.get(d['late'])
        need(offer and not offer['decided'], 'late')
        offer['decided'] = True
        if d['admitted']:
            s.rate(offer['task'], offer['seat'], offer['rating'])
    elif kind == 'task-settled':
        need(d['task'] not in s.settled, 'settled twice')
        s.settled[d['task']] = d
    elif kind == 'task-reopened':
        s.settled.pop(d['task'], None)
        s.gates.pop(d['task'], None)
    elif kind == 'endorsement-stated':
        need(d['seat'] == e['actor'], 'for another seat')
    elif kind == 'evaluation-superseded':
        need(not s.superseded, 'superseded twice')
        need(d['by'] != e['log'], 'superseded by itself')
        s.superseded = True
    elif kind == 'media-attached':
        need(d['seat'] == e['actor'] and d['media'] not in s.media, 'attached')
        need(all(not m['stands'] or m['sha256'] != d['sha256'] for m in s.media.values()), 'same file')
        s.media[d['media']] = dict(d, stands=True, played=set())
    elif kind == 'observation-stated':
        need(d['seat'] == e['actor'] and d['round'] == len(s.rounds), 'observation')
        need(d['seat'] in s.rounds[-1]['sheets'], 'observation without a sheet')
    elif kind in ('media-removed', 'moment-marked', 'clip-watched'):
        known = s.media.get(d['media'])
        need(known and known['stands'], 'no such media')
        if kind == 'media-removed':
            known['stands'] = False
        else:
            need(known['type'].startswith('video/') and d['seat'] == e['actor'], 'moment')
            need(kind == 'moment-marked' or d['seat'] not in known['played'], 'played twice')
            known['played'].update({d['seat']} if kind == 'clip-watched' else ())
    elif kind == 'entry-posted':
        s.entries.add(d['key'])
    elif kind in DAY:
        take_day(s, kind, d, e['actor'])
    elif kind == 'gate-decided':
        need(d['task'] not in s.gates, 'decided twice')
        s.gates[d['task']] = d['confirmed']
    s.stage = ORDER[kind][2] or s.stage

def sha(*parts):
    return hashlib.sha256(b''.join(p.encode() if is_str(p) else p for p in parts))

def composed(v):
    if is_str(v):
        return unicodedata.normalize('NFC', v) == v
    inner = v.values() if isinstance(v, dict) else v if isinstance(v, list) else ()
    return all(map(composed, inner))

def replay(b):
    s, events = State(), []
    for i, raw in enumerate(b['events']):
        try:
            e = read(raw)
        except (ValueError, RecursionError) as error:
            raise Broken('events', str(error))
        fits = ENVELOPE(e) and e['seq'] == i and e['log'] == b['log'] and e['type'] in DATA
        if not (fits and DATA[e['type']](e['data']) and composed(e['data'])):
            raise Broken('events', 'event %d' % i)
        events.append(e)
    for e in events:
        allowed(s, e)
        take(s, e)
        if e['type'] == 'sheet-recorded':
            d = e['data']
            told = canonical({'evaluation': b['log'], **{n: d[n] for n in ('nonce', 'ratings', 'round', 'seat')}})
            if sha(told).hexdigest() != d['digest']:
                raise Broken('digests', d['seat'])
    need(events and events[0]['type'] == 'evaluation-created', 'not created')
    need(any(e['type'] == 'evaluation-locked' for e in events), 'not locked')
    return s, events
