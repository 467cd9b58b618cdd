import { Decoder, Encoder, PacketType } from 'socket.io-parser';
import { expect, test } from 'vitest';
import { slicesPacket } from '../../../server/src/realtime/slices-packet.ts';

const SLICES = [
  {},
  {
    head: { title: 'Heron \u2028 "3" \u00e9\ud83d\ude00', round: null },
    queue: [],
    allFinished: false,
  },
  { 'tasks/chest-access': null, arrivals: 0, 'odd "key"\n': [1, 'a', { b: [] }] },
];

test.each(SLICES)(
  'RT-13: the text of slices is to the letter what the library would send: %j',
  (slices) => {
    const data = ['slices', { of: 'ev_1', slices }];
    const [text] = new Encoder().encode({ type: PacketType.EVENT, nsp: '/', data });
    expect(slicesPacket('ev_1', slices)).toBe(text);
    // Told again, from what was kept.
    expect(slicesPacket('ev_1', slices)).toBe(text);
    const heard: unknown[] = [];
    const decoder = new Decoder();
    decoder.on('decoded', (packet) => heard.push(packet.data));
    decoder.add(text);
    expect(heard).toEqual([data]);
  },
);
