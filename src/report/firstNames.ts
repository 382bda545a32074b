/** "a, b and 9 more": the first `most` of some names, and how many there are besides. */
export function firstNames(names: readonly string[], most: number, joint = " and "): string {
  const more = names.length - most;
  return more > 0 ? `${names.slice(0, most).join(", ")}${joint}${more} more` : names.join(", ");
}

/** As `firstNames`, but one more than `most` is named too: it takes no more room than the count of one. */
export function someNames(names: readonly string[], most: number): string {
  return firstNames(names, names.length - most > 1 ? most : names.length);
}
