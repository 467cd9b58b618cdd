"""The second verifier's walk through the events (FORMAT.md, section 3)."""
import hashlib, unicodedata
from second_verifier_reading import DATA, ENVELOPE, Broken, canonical, is_str, read, unique
from second_verifier_trials import Board

PSO, MOD = ('preparing', 'sealed', 'opened'), ('moderator',)
WORK = ('moderator', 'reviewer', 'recorder', 'operator')
ORDER = {
    'evaluation-created': (('new',), None, 'preparing'), 'seat-taken': (PSO, None, None),
    'specimen-photo-added': (PSO, None, None), 'specimen-photo-captioned': (PSO, None, None),
    'specimen-photo-removed': (PSO + ('locked', 'withdrawn'), None, None),
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
        self.asked, self.fits, self.fixed, self.waived, self.pieces, self.photos = False, {}, set(), -1, {}, {}
        self.media, self.stopped, self.models, self.incidents = {}, False, {}, set()
        self.ratings, self.late, self.settled, self.gates, self.endorsements = {}, {}, {}, {}, {}
        self.board, self.moments = Board(), []

    def may_open(self):
        return not self.asked or list(self.fits.values())[-1:] == ['passed'] or self.waived == len(self.fits)

    def opened(self):
        return {t for r in self.rounds if r['opened'] for t in r['tasks']}

    def rate(self, task, seat, rating):
        self.ratings.setdefault(task, {})[seat] = rating

PHOTOS = ('specimen-photo-added', 'specimen-photo-captioned', 'specimen-photo-removed')

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
    if s.stage == 'new' or (not seat and e['type'] in ('seat-taken', 'interest-declared', 'sheet-added', 'specimen-corrected') + PHOTOS):
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
        s.board.leave_out(d['model'], not d['count'])
    elif kind == 'incident-noted':
        need(d['incident'] not in s.incidents, 'noted twice')
        need(d['note']['trial'] is None or d['note']['trial'] in s.board.keys, 'no such trial')
        s.incidents.add(d['incident'])


def take_photo(s, kind, d):
    need(d['specimen'] in s.pieces, 'photo of no piece')
    if kind == 'specimen-photo-added':
        same = lambda p: p['stands'] and p['specimen'] == d['specimen'] and p['sha256'] == d['sha256']
        need(d['photo'] not in s.photos and not any(map(same, s.photos.values())), 'photo added')
        s.photos[d['photo']] = dict(d, stands=True)
        return
    known = s.photos.get(d['photo'])
    need(known and known['stands'] and known['specimen'] == d['specimen'], 'no such photo')
    if kind == 'specimen-photo-removed':
        known['stands'] = False
    else:
        need(known['caption'] == d['old'], 'caption')
        known['caption'] = d['new']

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
    elif kind in PHOTOS:
        take_photo(s, kind, d)
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
        s.endorsements[d['seat']] = d['content']
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
    elif kind in DAY:
        take_day(s, kind, d, e['actor'])
    elif kind == 'gate-decided':
        before = s.gates.get(d['task'], {'confirmed': False, 'backedByTrials': False})
        again = d['backedByTrials'] and not before['confirmed'] and not before['backedByTrials']
        need(again or d['task'] not in s.gates, 'decided twice')
        s.gates[d['task']] = d
    elif kind == 'entry-posted':
        fault = s.board.take(d, e['actor'], e['role'])
        need(fault is None, fault)
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
        if e['type'] in ('gate-decided', 'evaluation-locked'):
            s.moments.append((e['type'], e['data'], s.board.standing(), dict(s.gates), s.opened()))
        take(s, e)
        if e['type'] == 'sheet-recorded':
            d = e['data']
            told = canonical({'evaluation': b['log'], **{n: d[n] for n in ('nonce', 'ratings', 'round', 'seat')}})
            if sha(told).hexdigest() != d['digest']:
                raise Broken('digests', d['seat'])
    need(events and events[0]['type'] == 'evaluation-created', 'not created')
    need(any(e['type'] == 'evaluation-locked' for e in events), 'not locked')
    return s, events
