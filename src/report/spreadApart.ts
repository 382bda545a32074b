/**
 * Places along a line, in ascending order, as near to where each would like to be as they can stand with `gaps[k]` at least from
 * the k-th to the one after it: moved on where one would meet its neighbour, none before `first`, and back where the last would
 * pass `last`, which goes before `first` where both cannot be had.
 */
export function spreadApart(
  wishes: readonly number[],
  gaps: readonly number[],
  { first = Number.NEGATIVE_INFINITY, last }: { readonly first?: number; readonly last: number },
): number[] {
  const places = [...wishes];
  let least = first;
  for (let k = 0; k < places.length; k++) {
    places[k] = Math.max(places[k]!, least);
    least = places[k]! + gaps[k]!;
  }
  let most = last;
  for (let k = places.length - 1; k >= 0; k--) {
    places[k] = Math.min(places[k]!, most);
    if (k > 0) most = places[k]! - gaps[k - 1]!;
  }
  return places;
}
