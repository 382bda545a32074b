/**
 * Every set that can be made of some things, none of them first and all of them last. Its place in the order tells what is in it:
 * bit k of the place is set where the k-th thing is.
 */
export function* subsets<T>(all: readonly T[]): Generator<T[]> {
  for (let set = 0; set < 1 << all.length; set++) yield all.filter((_, k) => set & (1 << k));
}
