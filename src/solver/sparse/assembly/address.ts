/** Number k of an array of 32-bit whole numbers at a bare address. */
export function int(array: usize, k: i32): i32 {
  return load<i32>(array + ((<usize>k) << 2));
}
