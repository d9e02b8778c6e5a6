// Numbers out of the document: base64 of a zlib stream of little-endian values.
import type { Packed } from './answers';

export type Values = Uint8Array | Uint16Array | Int16Array | Uint32Array | Float32Array;

const arrays = { u8: Uint8Array, u16: Uint16Array, i16: Int16Array, u32: Uint32Array, f32: Float32Array } as const;

function fromBase64(text: string): Uint8Array<ArrayBuffer> {
  const raw = atob(text);
  const bytes = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
  return bytes;
}

/** Little-endian bytes as values; every machine that runs a browser today is little-endian. */
export function viewed(type: Packed['type'], bytes: ArrayBuffer, offset = 0, count?: number): Values {
  const Kind = arrays[type];
  return new Kind(bytes, offset, count ?? (bytes.byteLength - offset) / Kind.BYTES_PER_ELEMENT);
}

export function bytesOf(type: Packed['type']): number {
  return arrays[type].BYTES_PER_ELEMENT;
}

export async function unpacked(packed: Packed): Promise<Values> {
  const stream = new Blob([fromBase64(packed.data)]).stream().pipeThrough(new DecompressionStream('deflate'));
  const bytes = await new Response(stream).arrayBuffer();
  const wanted = packed.count * bytesOf(packed.type);
  if (bytes.byteLength !== wanted) {
    throw new Error(`packed numbers: ${bytes.byteLength} bytes where ${packed.count} of ${packed.type} need ${wanted}`);
  }
  return viewed(packed.type, bytes);
}
