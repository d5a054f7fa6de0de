// BLAKE3 of a whole file, as the specification of 2020 tells it: the name by which the books know a photograph.
// A browser has no such digest of its own, and the note beside the photograph must name it before it is sent.

const BLAKE_START = [
  0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19,
];
const BLAKE_ORDER = [2, 6, 3, 10, 7, 0, 4, 13, 1, 11, 12, 5, 9, 14, 15, 8];
const CHUNK_START = 1;
const CHUNK_END = 2;
const PARENT = 4;
const ROOT = 8;
const CHUNK_BYTES = 1024;

function mixed(s, a, b, c, d, x, y) {
  s[a] = (s[a] + s[b] + x) | 0;
  s[d] ^= s[a];
  s[d] = (s[d] >>> 16) | (s[d] << 16);
  s[c] = (s[c] + s[d]) | 0;
  s[b] ^= s[c];
  s[b] = (s[b] >>> 12) | (s[b] << 20);
  s[a] = (s[a] + s[b] + y) | 0;
  s[d] ^= s[a];
  s[d] = (s[d] >>> 8) | (s[d] << 24);
  s[c] = (s[c] + s[d]) | 0;
  s[b] ^= s[c];
  s[b] = (s[b] >>> 7) | (s[b] << 25);
}

/** The first eight words of the compressed block: the chaining value, or the digest itself. */
function compressed(cv, block, counter, length, flags) {
  const s = new Int32Array(16);
  s.set(cv);
  s.set(BLAKE_START.slice(0, 4), 8);
  s[12] = counter | 0;
  s[13] = Math.floor(counter / 2 ** 32) | 0;
  s[14] = length;
  s[15] = flags;
  let m = block;
  for (let round = 0; round < 7; round += 1) {
    mixed(s, 0, 4, 8, 12, m[0], m[1]);
    mixed(s, 1, 5, 9, 13, m[2], m[3]);
    mixed(s, 2, 6, 10, 14, m[4], m[5]);
    mixed(s, 3, 7, 11, 15, m[6], m[7]);
    mixed(s, 0, 5, 10, 15, m[8], m[9]);
    mixed(s, 1, 6, 11, 12, m[10], m[11]);
    mixed(s, 2, 7, 8, 13, m[12], m[13]);
    mixed(s, 3, 4, 9, 14, m[14], m[15]);
    const old = m;
    m = BLAKE_ORDER.map((at) => old[at]);
  }
  const out = new Int32Array(8);
  for (let at = 0; at < 8; at += 1) {
    out[at] = s[at] ^ s[at + 8];
  }
  return out;
}

function blockWords(bytes, from, to) {
  const words = new Int32Array(16);
  for (let at = from; at < to; at += 1) {
    const place = at - from;
    words[place >> 2] |= bytes[at] << (8 * (place & 3));
  }
  return words;
}

/** One chunk of at most 1024 bytes; `last` is added to the flags of its last block. */
function chunkValue(bytes, from, to, counter, last) {
  let cv = new Int32Array(BLAKE_START);
  const blocks = Math.max(1, Math.ceil((to - from) / 64));
  for (let block = 0; block < blocks; block += 1) {
    const start = from + 64 * block;
    const end = Math.min(start + 64, to);
    const flags = (block === 0 ? CHUNK_START : 0) | (block === blocks - 1 ? CHUNK_END | last : 0);
    cv = compressed(cv, blockWords(bytes, start, end), counter, end - start, flags);
  }
  return cv;
}

function parentValue(left, right, last) {
  const block = new Int32Array(16);
  block.set(left);
  block.set(right, 8);
  return compressed(new Int32Array(BLAKE_START), block, 0, 64, PARENT | last);
}

/** The digest of these bytes, as 64 hexadecimal digits. */
export function blake3(bytes) {
  const chunks = Math.max(1, Math.ceil(bytes.length / CHUNK_BYTES));
  const stack = [];
  for (let chunk = 0; chunk < chunks - 1; chunk += 1) {
    let value = chunkValue(bytes, chunk * CHUNK_BYTES, (chunk + 1) * CHUNK_BYTES, chunk, 0);
    for (let whole = chunk + 1; (whole & 1) === 0; whole >>= 1) {
      value = parentValue(stack.pop(), value, 0);
    }
    stack.push(value);
  }
  const alone = stack.length === 0 ? ROOT : 0;
  let value = chunkValue(bytes, (chunks - 1) * CHUNK_BYTES, bytes.length, chunks - 1, alone);
  while (stack.length > 0) {
    const left = stack.pop();
    value = parentValue(left, value, stack.length === 0 ? ROOT : 0);
  }
  const digits = new Uint8Array(new Int32Array(value).buffer);
  return [...digits].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
