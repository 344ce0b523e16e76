"use strict";
// Several files in one: an archive without compression (APPNOTE.TXT of the ZIP format, from memory),
// which any computer unpacks; and such archives, packed or not, opened again.
const Zip = (() => {
  const TABLE = Uint32Array.from({ length: 256 }, (_, n) => { let c = n; for (let k = 0; k < 8; k += 1) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1; return c; });
  const check = (bytes) => { let c = 0xffffffff; for (const byte of bytes) c = TABLE[(c ^ byte) & 255] ^ (c >>> 8); return (c ^ 0xffffffff) >>> 0; };
  const head = (length, fill) => { const view = new DataView(new ArrayBuffer(length)); fill(view); return new Uint8Array(view.buffer); };
  const PICTURE = /\.jpe?g$/i;
  const picture = (bytes) => `data:image/jpeg;base64,${btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""))}`;
  /** What stands in a data address. */
  const bytes = (address) => Uint8Array.from(atob(address.slice(address.indexOf(",") + 1)), (letter) => letter.charCodeAt(0));
  /** Files by name as one archive; the date is left at the format's zero, so that the same is the same. */
  const pack = (files) => {
    const local = [];
    const central = [];
    let offset = 0;
    for (const [name, content] of Object.entries(files)) {
      const [path, bytes] = [new TextEncoder().encode(name), content instanceof Uint8Array ? content : new TextEncoder().encode(content)];
      const shared = (view, at) => {
        view.setUint16(at, 20, true); view.setUint16(at + 2, 0x800, true); view.setUint32(at + 6, 0x210000, true);
        view.setUint32(at + 10, check(bytes), true); view.setUint32(at + 14, bytes.length, true); view.setUint32(at + 18, bytes.length, true); view.setUint16(at + 22, path.length, true);
      };
      local.push(head(30, (view) => { view.setUint32(0, 0x04034b50, true); shared(view, 4); }), path, bytes);
      const from = offset;
      central.push(head(46, (view) => { view.setUint32(0, 0x02014b50, true); view.setUint16(4, 20, true); shared(view, 6); view.setUint32(42, from, true); }), path);
      offset += 30 + path.length + bytes.length;
    }
    const size = central.reduce((sum, part) => sum + part.length, 0);
    const count = central.length / 2;
    const end = head(22, (view) => { view.setUint32(0, 0x06054b50, true); view.setUint16(8, count, true); view.setUint16(10, count, true); view.setUint32(12, size, true); view.setUint32(16, offset, true); });
    return new Blob([...local, ...central, end], { type: "application/zip" });
  };
  /** The files of an archive by name: texts, and pictures as data addresses. */
  const unpack = async (buffer) => {
    const view = new DataView(buffer);
    let end = buffer.byteLength - 22;
    while (end >= 0 && view.getUint32(end, true) !== 0x06054b50) end -= 1;
    if (end < 0) throw new Error(say("no archive"));
    const files = {};
    let at = view.getUint32(end + 16, true);
    for (let i = view.getUint16(end + 10, true); i > 0; i -= 1) {
      const [method, packed, long, extra, remark, from] = [view.getUint16(at + 10, true), view.getUint32(at + 20, true), view.getUint16(at + 28, true), view.getUint16(at + 30, true), view.getUint16(at + 32, true), view.getUint32(at + 42, true)];
      const name = new TextDecoder().decode(new Uint8Array(buffer, at + 46, long));
      const start = from + 30 + view.getUint16(from + 26, true) + view.getUint16(from + 28, true);
      const bytes = new Uint8Array(buffer, start, packed);
      const stream = method === 8 ? new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw")) : new Blob([bytes]).stream();
      const file = new Response(stream);
      files[name.split("/").pop()] = PICTURE.test(name) ? picture(new Uint8Array(await file.arrayBuffer())) : await file.text();
      at += 46 + long + extra + remark;
    }
    return files;
  };
  return { pack, unpack, bytes, PICTURE };
})();
