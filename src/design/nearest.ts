/** Letters of a word cut short, at least. */
const LEAST_BEGUN = 4;

/**
 * The word of `known` most like `word`, or null when none is close. Case, underscores, hyphens and runs of
 * spaces count for nothing, so `root_radius` finds "root radius"; otherwise at most a third of the letters
 * (and always two, in words of four or more) may be wrong, missing, extra or swapped with their neighbour. A word cut short
 * ("spline diam") is the one that it begins, where that is the only one.
 */
export function nearest(word: string, known: readonly string[]): string | null {
  const asked = plain(word.slice(0, 80));
  const begun = known.filter((candidate) => asked.length >= LEAST_BEGUN && begins(asked, plain(candidate)));
  if (begun.length === 1) return begun[0]!;
  let best: string | null = null;
  let bestDistance = Number.POSITIVE_INFINITY;
  for (const candidate of known) {
    const target = plain(candidate);
    const distance = editDistance(asked, target);
    const length = Math.max(asked.length, target.length);
    const most = length < 4 ? 1 : Math.max(2, Math.floor(length / 3));
    if (distance <= most && distance < bestDistance) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return best;
}

/** Whether a word is the beginning of another, or each of its words of the word in that place: "ten. strength" of "tensile strength". */
function begins(asked: string, target: string): boolean {
  const [short, full] = [asked, target].map((text) => text.replace(/\./g, "").split(" ")) as [
    string[],
    string[],
  ];
  return (
    target.startsWith(asked) ||
    (short.length === full.length && short.every((one, k) => full[k]!.startsWith(one)))
  );
}

/** As `nearest`, for grades of steel: digits may have changed places, but 4150 for 4140 and D2 for A2 are other steels, not slips of the pen. */
export const nearestGrade = (name: string, known: readonly string[]): string | null =>
  nearest(
    name,
    known.filter((one) => digits(one) === digits(name) && alikeLetters(one, name)),
  );

const digits = (text: string): string => [...text.replace(/\D/g, "")].sort().join("");

function alikeLetters(a: string, b: string): boolean {
  const [x, y] = [a, b].map((text) => plain(text).replace(/[^a-z]/g, "")) as [string, string];
  return editDistance(x, y) <= Math.max(x.length, y.length) / 3;
}

function plain(text: string): string {
  return text
    .replace(/([a-z])([A-Z])/g, "$1 $2")
    .toLowerCase()
    .replace(/[\s_-]+/g, " ")
    .trim();
}

/** Damerau-Levenshtein distance, neighbours swapped counting one (optimal string alignment). */
function editDistance(a: string, b: string): number {
  const rows: number[][] = [];
  for (let i = 0; i <= a.length; i++) {
    rows.push([i]);
    for (let j = 1; j <= b.length; j++) {
      if (i === 0) {
        rows[0]!.push(j);
        continue;
      }
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      let least = Math.min(rows[i - 1]![j]! + 1, rows[i]![j - 1]! + 1, rows[i - 1]![j - 1]! + same);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        least = Math.min(least, rows[i - 2]![j - 2]! + 1);
      rows[i]!.push(least);
    }
  }
  return rows[a.length]![b.length]!;
}
