/** "root radius, ramp angle and pins". */
export const wordList = (words: readonly string[], joint = "and"): string =>
  words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} ${joint} ${words.at(-1)}`;
