import steels from "./steels.json" with { type: "json" };

/** What a hardness window brings with it; a caution counts when any of the window lies in its range. */
export function steelCautions(
  grade: string,
  { hardnessLow, hardnessHigh }: { readonly hardnessLow: number; readonly hardnessHigh: number },
): string[] {
  return steels.cautions
    .filter(
      (caution) =>
        (caution.grades.includes("any") || caution.grades.includes(grade)) &&
        hardnessHigh > caution.fromHrc &&
        hardnessLow < caution.toHrc,
    )
    .map((caution) => `${caution.text} (${caution.source})`);
}
