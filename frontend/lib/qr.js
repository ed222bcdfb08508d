// @ts-check
/**
 * A QR code (ISO/IEC 18004) for a text, at error correction level M: some 15 % of it may be hidden by rain or a thumb.
 *
 * The text is taken in two pieces: its end in the alphanumeric mode as far back as that reaches, what stands before as
 * bytes. So a link whose long part keeps to capitals and digits makes a coarse code, which a camera reads sooner.
 *
 * @typedef {{ size: number, version: number, mask: number, isDark: (x: number, y: number) => boolean }} Code
 */

const SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
const ITS_END = /[0-9A-Z $%*+\-./:]*$/;

/** Codewords for correction in each block, and blocks, of versions 1 to 20 at level M: table 9 of the standard. */
const CORRECTION = [10, 16, 26, 18, 24, 16, 18, 22, 22, 26, 30, 22, 22, 24, 24, 28, 28, 26, 26, 26];
const BLOCKS = [1, 1, 1, 2, 2, 4, 4, 4, 5, 5, 5, 8, 9, 9, 10, 10, 11, 13, 14, 16];

/** Which modules a mask turns over: those where it comes to 0. @type {((x: number, y: number) => number)[]} */
const MASKS = [
  (x, y) => (x + y) % 2,
  (_, y) => y % 2,
  (x) => x % 3,
  (x, y) => (x + y) % 3,
  (x, y) => (Math.floor(x / 3) + Math.floor(y / 2)) % 2,
  (x, y) => ((x * y) % 2) + ((x * y) % 3),
  (x, y) => (((x * y) % 2) + ((x * y) % 3)) % 2,
  (x, y) => (((x + y) % 2) + ((x * y) % 3)) % 2,
];

/** The code of a text; null where it is too long for version 20. @param {string} text @returns {Code | null} */
export function qr(text) {
  for (let version = 1; version <= BLOCKS.length; version += 1) {
    const [blocks = 0, length = 0] = [BLOCKS[version - 1], CORRECTION[version - 1]];
    const bits = dataBits(text, version > 9);
    const grid = emptyGrid(version);
    const words = (grid.free.length >> 3) - blocks * length;
    if (bits.length <= words * 8) return masked(grid, withCorrection(padded(bits, words), blocks, length), version);
  }
  return null;
}

/** @param {string} text @param {boolean} isLarge @returns {number[]} */
function dataBits(text, isLarge) {
  /** @type {number[]} */
  const bits = [];
  /** @param {number} value @param {number} length */
  const put = (value, length) => {
    for (let bit = length - 1; bit >= 0; bit -= 1) bits.push((value >> bit) & 1);
  };
  const end = text.search(ITS_END);
  const bytes = new TextEncoder().encode(text.slice(0, end));
  if (bytes.length > 0) {
    put(4, 4);
    put(bytes.length, isLarge ? 16 : 8);
    for (const byte of bytes) put(byte, 8);
  }
  const pairs = text.slice(end).match(/..?/g) ?? [];
  if (pairs.length > 0) {
    put(2, 4);
    put(text.length - end, isLarge ? 11 : 9);
    for (const pair of pairs) {
      const value = [...pair].reduce((sum, sign) => sum * 45 + SIGNS.indexOf(sign), 0);
      put(value, pair.length * 5 + 1);
    }
  }
  return bits;
}

/** The end mark, then filled up to whole codewords. @param {number[]} bits @param {number} words */
function padded(bits, words) {
  const text = (bits.join("") + "0000").slice(0, words * 8);
  const data = (text.match(/.{1,8}/g) ?? []).map((word) => parseInt(word.padEnd(8, "0"), 2));
  for (let pad = 0xec; data.length < words; pad ^= 0xec ^ 0x11) data.push(pad);
  return data;
}

/** Data and correction of all blocks, a codeword of each in turn. @param {number[]} data @param {number} blocks @param {number} length of the correction */
function withCorrection(data, blocks, length) {
  const short = blocks - (data.length % blocks);
  const parts = Array.from({ length: blocks }, (_, at) => {
    /** @param {number} block */
    const start = (block) => block * Math.floor(data.length / blocks) + Math.max(0, block - short);
    return data.slice(start(at), start(at + 1));
  });
  return [parts, parts.map((part) => remainder(part, length))].flatMap((each) =>
    Array.from(each[blocks - 1] ?? [], (_, at) => each.flatMap((part) => part[at] ?? [])).flat(),
  );
}

/** The product in the field of 256 elements over x^8 + x^4 + x^3 + x^2 + 1. @param {number} a @param {number} b */
function times(a, b) {
  let product = 0;
  for (let bit = 7; bit >= 0; bit -= 1) product = (product << 1) ^ ((product >> 7) * 0x11d) ^ (((b >> bit) & 1) * a);
  return product;
}

/** What is left of the data as a polynomial, divided by the one whose roots are the first powers of 2. @param {number[]} data @param {number} length */
function remainder(data, length) {
  let divisor = [1];
  for (let step = 0, root = 1; step < length; step += 1, root = times(root, 2)) {
    divisor = [...divisor, 0].map((each, at) => each ^ times(divisor[at - 1] ?? 0, root));
  }
  let rest = data;
  for (let step = 0; step < data.length; step += 1) {
    const [lead = 0, ...more] = rest;
    rest = Array.from({ length: Math.max(more.length, length) }, (_, at) => (more[at] ?? 0) ^ times(divisor[at + 1] ?? 0, lead));
  }
  return rest;
}

/** What the standard sets in every code of a version, and the places left free, in the order they are filled. @param {number} version */
function emptyGrid(version) {
  const size = 17 + 4 * version;
  /** @type {(boolean | undefined)[]} */
  const dark = Array(size * size).fill(undefined);
  /** @param {number} x @param {number} y @param {boolean} isDark */
  const set = (x, y, isDark) => {
    if (x >= 0 && y >= 0 && x < size && y < size) dark[y * size + x] = isDark;
  };
  /** Rings round a center. @param {number} x @param {number} y @param {number} reach @param {number[]} light */
  const rings = (x, y, reach, light) => {
    for (let dy = -reach; dy <= reach; dy += 1) {
      for (let dx = -reach; dx <= reach; dx += 1) set(x + dx, y + dy, !light.includes(Math.max(Math.abs(dx), Math.abs(dy))));
    }
  };
  for (const [x = 0, y = 0] of [[3, 3], [size - 4, 3], [3, size - 4]]) rings(x, y, 4, [2, 4]);
  const across = version < 2 ? 0 : Math.floor(version / 7) + 2;
  const step = Math.ceil((version * 4 + 4) / (2 * across - 2)) * 2;
  const centers = Array.from({ length: across }, (_, at) => (at === 0 ? 6 : size - 7 - (at - 1) * step));
  for (const x of centers) for (const y of centers) if (dark[y * size + x] === undefined) rings(x, y, 2, [1]);
  for (let at = 8; at < size - 8; at += 1) {
    set(6, at, at % 2 === 0);
    set(at, 6, at % 2 === 0);
  }
  const bits = coded(version, 12, 0x1f25);
  for (let at = 0; version > 6 && at < 18; at += 1) {
    const [x, y] = [size - 11 + (at % 3), Math.floor(at / 3)];
    set(x, y, ((bits >> at) & 1) === 1);
    set(y, x, ((bits >> at) & 1) === 1);
  }
  /** Level M and the mask, twice. @param {number} mask */
  const format = (mask) => {
    const word = coded(mask, 10, 0x537) ^ 0x5412;
    for (let at = 0; at < 15; at += 1) {
      const isDark = ((word >> at) & 1) === 1;
      set(8, at < 6 ? at : at < 8 ? at + 1 : size - 15 + at, isDark);
      set(at < 8 ? size - 1 - at : at < 9 ? 7 : 14 - at, 8, isDark);
    }
    set(8, size - 8, true);
  };
  format(0);
  const free = [];
  // Two columns up and two down, from the right; the upright timing pattern is stepped over.
  for (let right = size - 1, isUp = true; right > 0; right -= right === 8 ? 3 : 2, isUp = !isUp) {
    for (let row = 0; row < size; row += 1) {
      for (const x of [right, right - 1]) {
        const place = (isUp ? size - 1 - row : row) * size + x;
        if (dark[place] === undefined) free.push(place);
      }
    }
  }
  return { size, dark, free, format };
}

/** The codewords laid in, under the mask that a camera reads best. @param {ReturnType<typeof emptyGrid>} grid @param {number[]} words @param {number} version @returns {Code} */
function masked({ size, dark, free, format }, words, version) {
  /** @param {number} mask */
  const lay = (mask) => {
    free.forEach((place, bit) => {
      const isSet = (((words[bit >> 3] ?? 0) >> (7 - (bit & 7))) & 1) === 1;
      dark[place] = isSet !== (MASKS[mask]?.(place % size, Math.floor(place / size)) === 0);
    });
    format(mask);
  };
  const penalties = MASKS.map((_, mask) => {
    lay(mask);
    return penalty(size, dark);
  });
  const mask = penalties.indexOf(Math.min(...penalties));
  lay(mask);
  return { size, version, mask, isDark: (x, y) => dark[y * size + x] === true };
}

/** How hard it is to read: long runs, blocks, what looks like a finder, too dark or too light. @param {number} size @param {readonly unknown[]} dark */
function penalty(size, dark) {
  const all = dark.map((isDark) => (isDark ? "1" : "0"));
  const rows = Array.from({ length: size }, (_, y) => all.slice(y * size, y * size + size).join(""));
  const columns = rows.map((_, x) => rows.map((row) => row[x]).join(""));
  let sum = 10 * Math.floor(Math.abs((all.filter((each) => each === "1").length * 20) / size ** 2 - 10));
  for (const line of [...rows, ...columns]) {
    for (const run of line.match(/0{5,}|1{5,}/g) ?? []) sum += run.length - 2;
    sum += 40 * (line.match(/(?=10111010000|00001011101)/g) ?? []).length;
  }
  all.forEach((each, at) => {
    const isBlock = [1, size, size + 1].every((step) => all[at + step] === each);
    if (isBlock && (at + 1) % size > 0) sum += 3;
  });
  return sum;
}

/** A value with the bits behind it that let errors in it be seen. @param {number} value @param {number} length @param {number} divisor */
function coded(value, length, divisor) {
  let rest = value;
  for (let bit = 0; bit < length; bit += 1) rest = (rest << 1) ^ ((rest >> (length - 1)) * divisor);
  return (value << length) | rest;
}
