/** The words of `../flat.ts` in AssemblyScript. Arrays are bare memory: their length, then, 16 bytes on, their numbers. */
export type int = i32;

@unmanaged
export class Ints {
  length: i32;

  @operator("[]")
  get(k: i32): i32 {
    return load<i32>(changetype<usize>(this) + ((<usize>k) << 2), 16);
  }

  @operator("[]=")
  set(k: i32, value: i32): void {
    store<i32>(changetype<usize>(this) + ((<usize>k) << 2), value, 16);
  }

  fill(value: i32): Ints {
    const end = changetype<usize>(this) + ((<usize>this.length) << 2);
    for (let at = changetype<usize>(this); at < end; at += 4) store<i32>(at, value, 16);
    return this;
  }

  slice(from: i32, to: i32): Ints {
    const copy = ints(to - from);
    memory.copy(
      changetype<usize>(copy) + 16,
      changetype<usize>(this) + 16 + ((<usize>from) << 2),
      (<usize>(to - from)) << 2,
    );
    return copy;
  }
}

@unmanaged
export class Floats {
  length: i32;

  @operator("[]")
  get(k: i32): f64 {
    return load<f64>(changetype<usize>(this) + ((<usize>k) << 3), 16);
  }

  @operator("[]=")
  set(k: i32, value: f64): void {
    store<f64>(changetype<usize>(this) + ((<usize>k) << 3), value, 16);
  }

  fill(value: f64): Floats {
    const end = changetype<usize>(this) + ((<usize>this.length) << 3);
    for (let at = changetype<usize>(this); at < end; at += 8) store<f64>(at, value, 16);
    return this;
  }
}

export function ints(length: i32): Ints {
  const bytes = (<usize>length) << 2;
  const at = heap.alloc(16 + bytes);
  memory.fill(at + 16, 0, bytes);
  store<i32>(at, length);
  return changetype<Ints>(at);
}

export function floats(length: i32): Floats {
  const bytes = (<usize>length) << 3;
  const at = heap.alloc(16 + bytes);
  memory.fill(at + 16, 0, bytes);
  store<i32>(at, length);
  return changetype<Floats>(at);
}

export function least(a: i32, b: i32): i32 {
  return min(a, b);
}

export function most(a: i32, b: i32): i32 {
  return max(a, b);
}
