import type { Quantity } from "./case.ts";
import type { CaseResult, Row } from "./runCases.ts";

/** As many places as give what the value is compared with five figures: what is noise beside it is not printed. */
export function valueText(value: number, { of }: Quantity): string {
  if (!Number.isFinite(value)) return String(value);
  const places = Math.max(0, 4 - Math.floor(Math.log10(of)));
  const rounded = Number(value.toFixed(Math.min(places, 100)));
  if (rounded === 0) return "0";
  const text =
    Math.abs(rounded) < 1e-4 || Math.abs(rounded) >= 1e6 ? rounded.toExponential() : String(rounded);
  return text.replace("-", "−").replace("e−", "e-");
}

export const expectedText = ({ quantity }: Row): string =>
  `${quantity.atLeast ? "≥ " : ""}${valueText(quantity.value, quantity)}`;

export const computedText = ({ quantity, computed }: Row): string => valueText(computed, quantity);

/** Difference in per cent of what the tolerance is a share of (in the quantity itself for orders), signed. */
export function differenceText({ quantity, difference }: Row): string {
  if (!Number.isFinite(difference)) return String(difference);
  if (quantity.atLeast) return signed(difference, 2);
  if (quantity.share < 1e-6) {
    return Math.abs(difference) <= quantity.share ? "round-off" : `${signed(100 * difference, 6)} %`;
  }
  return `${signed(100 * difference, quantity.share < 0.001 ? 4 : 2)} %`;
}

function signed(value: number, places: number): string {
  const text = value.toFixed(places);
  return Number(text) === 0 ? (0).toFixed(places) : value > 0 ? `+${text}` : text.replace("-", "−");
}

/** "0.2 % of 300 MPa"; of what is told where it is not the value itself. */
export function allowedText({ quantity }: Row): string {
  const { share, of, value, unit, atLeast } = quantity;
  if (atLeast) return `−${share}`;
  const percent = Number((100 * share).toPrecision(3));
  const text = percent < 1e-3 ? `${percent.toExponential()} %` : `${percent} %`;
  if (Math.abs(of - Math.abs(value)) <= 1e-12 * of) return text;
  return `${text} of ${valueText(of, quantity)}${unit && unit !== "°" ? ` ${unit}` : unit}`;
}

export const nameText = ({ quantity }: Row): string =>
  quantity.unit ? `${quantity.name}, ${quantity.unit}` : quantity.name;

/** Largest difference of any row as a share of what that row allows; rows that only bound from below count when below. */
export function worstShare(results: readonly CaseResult[]): { share: number; where: string } {
  let worst = { share: 0, where: "" };
  for (const result of results) {
    for (const { quantity, difference } of result.rows) {
      const off = quantity.atLeast ? Math.max(0, -difference) : Math.abs(difference);
      if (off / quantity.share > worst.share)
        worst = { share: off / quantity.share, where: `${result.case.id}, ${quantity.name}` };
    }
  }
  return worst;
}
