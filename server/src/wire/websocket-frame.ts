const [FIN_BINARY, TWO_BYTES, EIGHT_BYTES] = [0x82, 126, 127];

/**
 * A message as one unmasked binary WebSocket frame (RFC 6455, 5.2), as a server sends it: made once for everybody who is
 * sent the same, and written with one call.
 */
export const binaryFrame = (payload: Uint8Array): Uint8Array => {
  const { length } = payload;
  const head = length < TWO_BYTES ? 2 : length < 65_536 ? 4 : 10;
  const frame = Buffer.allocUnsafe(head + length);
  frame[0] = FIN_BINARY;
  if (head === 2) frame[1] = length;
  else if (head === 4) {
    frame[1] = TWO_BYTES;
    frame.writeUInt16BE(length, 2);
  } else {
    frame[1] = EIGHT_BYTES;
    frame.writeBigUInt64BE(BigInt(length), 2);
  }
  frame.set(payload, head);
  return frame;
};
