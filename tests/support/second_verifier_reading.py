"""The second verifier's reader: canonical JSON and shapes (FORMAT.md, sections 1 and 2)."""
import json, math, re, unicodedata

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
FORBIDDEN = re.compile('[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]')
UNSEEN = re.compile('[\xad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u202a-\u202e\u2060-\u206f\u2800\u3164'
                    '\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufff8\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e0fff]')

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
def whole(low, high=math.inf):
    return lambda v: isinstance(v, float) and v == int(v) and low <= v <= high
def text(low, high):
    return lambda v: (is_str(v) and not FORBIDDEN.search(v) and v == unicodedata.normalize('NFC', v).strip(SPACE)
                      and low <= len(UNSEEN.sub('', v).strip(SPACE)) and len(v) <= high)
def line(low, high):
    runs = re.compile('[' + SPACE + ']+')
    return lambda v: text(low, high)(v) and runs.sub(' ', v) == v
def unique(values): return len(values) == len(set(values))
def id_of(prefix): return like(prefix + '_[A-Za-z0-9_-]{22}')

REASON = text(1, 2000)
EV, PN, SEAT, DOC, LATE, SP, FIT, MEDIA, INCIDENT = map(id_of, ('ev', 'pn', 'st', 'dc', 'lt', 'sp', 'ft', 'md', 'ic'))
SLUG, HASH = like('[a-z0-9][a-z0-9-]{0,63}'), like('[0-9a-f]{64}')
INSTANT = like(r'\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z')
SAFE = 2**53 - 1
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
def filled(shape, most=math.inf): return lambda v: many(shape, most)(v) and len(v) > 0
CHECK = obj(instructions=obj(title=line(1, 160), edition=line(0, 80)), checker=SEAT, problems=text(0, 1000),
            steps=filled(obj(what=line(1, 200), result=one('met', 'not-met', 'not-applicable'), remark=line(0, 300)), 60),
            model=obj(code=like('(?=[A-Z-]*[0-9])[A-Z0-9-]{1,12}'), size=line(0, 60)), seconds=maybe(whole(1, 36000)),
            comfort=maybe(obj(said=line(1, 300), usedToAnother=one('yes', 'no', 'unknown'), bias=line(0, 300))),
            outcome=one('passed', 'failed'))
TIES = [obj(to=one('maker', 'rival'), detail=text(3, 500)), obj(to=one('tool'), tool=SLUG, detail=text(3, 500)),
        obj(to=one('task'), task=SLUG, detail=text(3, 500))]
def TIE(v): return any(t(v) for t in TIES)
DECLARATION = obj(ties=many(TIE, 20), familiarity=one('none', 'seen', 'handled', 'daily'))

SINCE = {'since': INSTANT}
NOTE = obj(what=text(3, 1000), happenedAt=INSTANT, task=maybe(SLUG), trial=maybe(KEY), done=text(3, 1000),
           direction=one('informed', 'not-informed'))
MODEL = like('(?=[A-Z-]*[0-9])[A-Z0-9-]{1,12}')
REMARK = obj(kind=one('remark'), task=maybe(SLUG), text=text(1, 2000), at=INSTANT, replaces=maybe(KEY))
QUANTITY_SHAPE = like(r'-?(0|[1-9]\d*)(\.\d*[1-9])?')
def QUANTITY(v): return QUANTITY_SHAPE(v) and len(v) <= 24 and v != '-0'
TIME_SHAPE = like(r'(0|[1-9]\d{0,4})(\.\d{0,2}[1-9])?')
def TIME(v): return TIME_SHAPE(v) and float(v) <= 86400
COUNTS_SHAPE = obj(successes=whole(0), of=whole(1, 100000))
def COUNTS(v): return COUNTS_SHAPE(v) and v['successes'] <= v['of']
MEASURE = like('[a-z][A-Za-z0-9_-]{0,63}')
MEASURED = obj(measure=MEASURE, value=QUANTITY, counts=maybe(COUNTS))
SOURCE = obj(file=line(1, 120), sha256=HASH, rows=whole(1), software=line(1, 80), measures=filled(MEASURE),
             **{'as': like(r'\{[ -~]{1,2998}\}')})
TRIAL_SHAPE = obj({'model': MODEL, 'sources': filled(SOURCE, 4)}, kind=one('trial'), task=SLUG, state=SLUG, condition=one('equipment', 'reference', 'practice', 'hidden-fault'),
                  operator=like('[A-Z0-9][A-Z0-9-]{0,11}'), done=is_bool, seconds=maybe(TIME), criterion=maybe(is_bool),
                  splits=many(obj(label=line(0, 40), seconds=TIME), 20), measures=many(MEASURED, 70),
                  note=maybe(text(1, 1000)), at=INSTANT, replaces=maybe(KEY))
def TRIAL(v):
    if not TRIAL_SHAPE(v):
        return False
    splits, names = [float(x['seconds']) for x in v['splits']], [m['measure'] for m in v['measures']]
    ends = v['seconds'] is None or all(x <= float(v['seconds']) for x in splits)
    sourced = [m for x in v.get('sources', []) for m in x['measures']]
    return ends and splits == sorted(splits) and unique(names) and unique(sourced) and set(sourced) <= set(names)
VOID = obj(kind=one('trial-void'), task=SLUG, trial=KEY, reason=text(3, 500), at=INSTANT)
def ENTRY(v): return REMARK(v) or TRIAL(v) or VOID(v)

PLACES = [obj(of=one('trial'), key=KEY), obj(of=one('task'), task=SLUG)]
def PLACE(v): return any(p(v) for p in PLACES)

DATA = {
    'evaluation-created': obj(
        optional={'reevaluates': EV, 'registered': REGISTERED, 'fitCheck': one('required')},
        evaluation=EV, panel=PN, title=is_str, specimen=SPECIMEN, board=DOC,
        protocol=obj(id=SLUG, version=is_str, hash=HASH), transport=one('tls', 'plain', 'loopback'),
        divergence=obj(id=one('D1', 'strict', 'lenient'), lone=is_str, split=maybe(is_str))),
    'specimen-photo-added': obj(specimen=SP, photo=MEDIA, type=one('image/jpeg', 'image/png', 'image/webp'), size=whole(1),
                                sha256=HASH, caption=is_str),
    'specimen-photo-captioned': obj(specimen=SP, photo=MEDIA, old=is_str, new=is_str),
    'specimen-photo-removed': obj(specimen=SP, photo=MEDIA, reason=REASON),
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
    'round-opened': obj(round=ROUND, missing=many(obj(seat=SEAT, unrated=whole(-math.inf)))),
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
    'entry-posted': obj(seat=SEAT, key=KEY, entry=ENTRY),
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
    'clock-jumped': obj(ms=whole(-SAFE, SAFE), expected=INSTANT, shown=INSTANT, running=is_bool),
    'store-restored': obj(had=maybe(whole(0, SAFE)), has=whole(0, SAFE)),
}
ENVELOPE = obj(v=lambda v: v == 1.0 and not is_bool(v), log=is_str, seq=COUNT, at=INSTANT, clientAt=maybe(INSTANT),
               actor=is_str, role=is_str, device=maybe(is_str), cmd=maybe(is_str), type=is_str, data=lambda v: True)
BUNDLE = obj({'successions': lambda v: many(is_str)(v) and len(v) > 0}, format=one('unhindered-bundle/1'), software=is_str, log=EV, origin=is_str, vkey=is_str,
             events=many(is_str), checkpoints=many(is_str), protocol=is_str, result=lambda v: isinstance(v, dict),
             names=many(obj(seat=SEAT, name=is_str, salt=is_str)))
