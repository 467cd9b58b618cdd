"""A second verifier of bundles, written from server/src/bundle/FORMAT.md alone, with Python's standard library only.

Usage: second-verifier.py [--key VKEY] [--seen NOTEFILE] FILE...
Prints one line of JSON for each file: {"ok", "step", "what", "result"}. Exit 0 when all hold, 1 otherwise.
"""
import base64, functools, json, re, sys, unicodedata
from second_verifier_figures import result
from second_verifier_order import replay, sha
from second_verifier_reading import BUNDLE, Broken, number, read
from second_verifier_trials import misjudged, strange

# --- Ed25519, RFC 8032 section 5.1.7 -------------------------------------------------------------------------

P = 2**255 - 19
L = 2**252 + 27742317777372353535851937790883648493
D = -121665 * pow(121666, P - 2, P) % P
ROOT = pow(2, (P - 1) // 4, P)


def add(a, b):
    (x1, y1, z1, t1), (x2, y2, z2, t2) = a, b
    e, f = (y1 - x1) * (y2 - x2) % P, (y1 + x1) * (y2 + x2) % P
    g, h = 2 * t1 * t2 * D % P, 2 * z1 * z2 % P
    e, h, f, g = f - e, f + e, h - g, h + g
    return e * f % P, g * h % P, f * g % P, e * h % P


def times(n, point):
    total = (0, 1, 1, 0)
    while n:
        if n & 1:
            total = add(total, point)
        point, n = add(point, point), n >> 1
    return total


def point_of(data):
    y = int.from_bytes(data, 'little')
    sign, y = y >> 255, y & (2**255 - 1)
    if y >= P:
        return None
    u, v = (y * y - 1) % P, (D * y * y + 1) % P
    x = u * pow(v, 3, P) * pow(u * pow(v, 7, P), (P - 5) // 8, P) % P
    if v * x * x % P == -u % P:
        x = x * ROOT % P
    if v * x * x % P != u or (x == 0 and sign):
        return None
    x = P - x if x & 1 != sign else x
    return x, y, 1, x * y % P


BASE = point_of((4 * pow(5, P - 2, P) % P).to_bytes(32, 'little'))


@functools.lru_cache(maxsize=None)
def signed(key, message, signature):
    import hashlib
    a, s = point_of(key), int.from_bytes(signature[32:], 'little')
    if a is None or s >= L:
        return False
    h = int.from_bytes(hashlib.sha512(signature[:32] + key + message).digest(), 'little') % L
    minus = (P - a[0], a[1], 1, P - a[3])
    x, y, z, _ = add(times(s, BASE), times(h, minus))
    inverse = pow(z, P - 2, P)
    x, y = x * inverse % P, y * inverse % P
    return (y | (x & 1) << 255).to_bytes(32, 'little') == signature[:32]


# --- Section 4: tree and signatures ---------------------------------------------------------------------------

def root(leaves):
    level = list(leaves)
    while len(level) > 1:
        pairs = [level[i:i + 2] for i in range(0, len(level), 2)]
        level = [sha(b'\x01', *p).digest() if len(p) == 2 else p[0] for p in pairs]
    return level[0] if level else sha().digest()


def base64_of(text):
    try:
        data = base64.b64decode(text, validate=True)
    except ValueError:
        return None
    return data if base64.b64encode(data).decode() == text else None


def key_of(vkey, step):
    parts = re.fullmatch(r'([^+\s]+)\+([0-9a-f]{8})\+(\S+)', vkey)
    data = parts and base64_of(parts[3])
    if not data or len(data) != 33 or data[0] != 1 or sha(parts[1], b'\n', data).digest()[:4].hex() != parts[2]:
        raise Broken(step, 'verifier key')
    return parts[1], bytes.fromhex(parts[2]), data[1:]


LINES = '((?:\u2014 [^ \n]+ [^ \n]+\n){1,100})'


def own_signatures(lines, vkey, step):
    name, key_id, _ = key_of(vkey, step)
    own = []
    for line in lines[:-1].split('\n'):
        _, signer, text = line.split(' ')
        signature = base64_of(text)
        if not signature or len(signature) < 5:
            raise Broken(step, 'signature line')
        if signer == name and signature[:4] == key_id:
            own.append(signature)
    return own


def signed_by(vkey, message, own, step):
    if len(own) != 1 or len(own[0]) != 68:
        raise Broken(step, 'not signed once by this key')
    if not signed(key_of(vkey, step)[2], message.encode(), own[0][4:]):
        raise Broken(step, 'signature')


def note_of(note, keys, step, at=0):
    parts = re.fullmatch('([^\n]+)\n(0|[1-9][0-9]*)\n([^\n]+)\n\n' + LINES, note)
    if not parts:
        raise Broken(step, 'no checkpoint')
    origin, size, told, lines = parts.groups()
    head = base64_of(told)
    if not head or len(head) != 32:
        raise Broken(step, 'no checkpoint')
    while at < len(keys) - 1 and not own_signatures(lines, keys[at], step):
        at += 1
    signed_by(keys[at], '%s\n%s\n%s\n' % (origin, size, told), own_signatures(lines, keys[at], step), step)
    return origin, int(size), head, at


def chain_of(b):
    keys = []
    for note in b.get('successions', []):
        parts = re.fullmatch('unhindered key succession\n([^\n]+)\n([^\n]+)\n\n' + LINES, note)
        if not parts:
            raise Broken('keys', 'no succession')
        before, now, lines = parts.groups()
        keys = keys or [before]
        if keys[-1] != before or now in keys or key_of(before, 'keys')[0] != key_of(now, 'keys')[0]:
            raise Broken('keys', 'chain')
        signed_by(before, 'unhindered key succession\n%s\n%s\n' % (before, now), own_signatures(lines, before, 'keys'), 'keys')
        keys.append(now)
    keys = keys or [b['vkey']]
    if keys[-1] != b['vkey']:
        raise Broken('keys', 'end of the chain')
    return keys


def check_notes(b, keys, seen):
    leaves, last, at = [sha(b'\x00', e).digest() for e in b['events']], 0, 0
    for i, note in enumerate(b['checkpoints']):
        origin, size, head, at = note_of(note, keys, 'checkpoints', at)
        rising = size > last or i == 0
        if origin != b['origin'] or not origin.endswith('/' + b['log']) or not rising or size > len(leaves):
            raise Broken('checkpoints', 'place of checkpoint %d' % i)
        if root(leaves[:size]) != head:
            raise Broken('checkpoints', 'root of checkpoint %d' % i)
        last = size
    if not b['checkpoints'] or last != len(leaves) or at != len(keys) - 1:
        raise Broken('checkpoints', 'not all events are signed')
    for note in seen:
        origin, size, head, _ = note_of(note, keys, 'seen')
        if origin != b['origin'] or size > len(leaves) or root(leaves[:size]) != head:
            raise Broken('seen', 'rewind' if size > len(leaves) else 'fork')


# --- Everything -----------------------------------------------------------------------------------------------

def check(data, key=None, seen=()):
    if len(data) > 256 * 1024 * 1024:
        raise Broken('size', 'too large')
    try:
        text = data.decode('utf-8')
    except UnicodeDecodeError:
        raise Broken('text', 'not UTF-8')
    try:
        b = read(text)
    except (ValueError, RecursionError) as error:
        raise Broken('canonical', str(error))
    if not BUNDLE(b):
        raise Broken('shape', 'the bundle')
    keys = chain_of(b)
    if key is not None and key not in keys:
        raise Broken('key', 'another key')
    check_notes(b, keys, seen)
    state, events = replay(b)
    first = events[0]['data']
    lock = next(e['data'] for e in events if e['type'] == 'evaluation-locked')
    if sha(b['protocol']).hexdigest() != first['protocol']['hash']:
        raise Broken('protocol', 'hash')
    protocol = read(b['protocol'])
    briefing = sha(protocol['cautions']['session']).hexdigest()
    if any(e['data']['text'] != briefing for e in events if e['type'] == 'briefing-acknowledged'):
        raise Broken('protocol', 'briefing')
    before = ''
    for entry in b['names']:
        known = state.seats.get(entry['seat'])
        name = unicodedata.normalize('NFC', entry['name'])
        if not known or entry['seat'] <= before or sha(entry['salt'], name).hexdigest() != known['hash']:
            raise Broken('names', entry['seat'])
        before = entry['seat']
    if strange(state.board, protocol) or any(misjudged(m, protocol) for m in state.moments):
        raise Broken('gates', 'trials and decisions')
    rule, told = protocol['divergence'], first['divergence']
    split = None if rule['split'] is None else number(rule['split'])
    if (told['id'], told['lone'], told['split']) != (rule['id'], number(rule['lone']), split):
        raise Broken('protocol', 'divergence')
    if lock['software'] != b['software']:
        raise Broken('shape', 'software')
    own = result(state, protocol, told)
    if own != lock['result'] or own != b['result']:
        raise Broken('figures', 'the result')
    return own


def main(arguments):
    key, seen, files = None, [], []
    while arguments:
        word, arguments = arguments[0], arguments[1:]
        if word in ('--key', '--seen'):
            value, arguments = arguments[0], arguments[1:]
            if word == '--key':
                key = value
            else:
                seen.append(open(value, encoding='utf-8').read())
        else:
            files.append(word)
    good = True
    for name in files:
        try:
            with open(name, 'rb') as file:
                line = {'ok': True, 'step': None, 'what': None, 'result': check(file.read(), key, seen)}
        except Broken as broken:
            line = {'ok': False, 'step': broken.step, 'what': broken.what, 'result': None}
        good = good and line['ok']
        print(json.dumps(line))
    return 0 if good else 1


if __name__ == '__main__':
    sys.exit(main(sys.argv[1:]))
