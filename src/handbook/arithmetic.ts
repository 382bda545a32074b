import { lengthUnit, significant, stressUnit, torqueUnit, type UnitChoice } from "../design/index.ts";

/**
 * Writes arithmetic as a pocket calculator takes it, in the first unit of a choice: N, mm and N·mm give MPa; lbf, inch and
 * lbf·in give psi, which `end` turns into ksi. Inputs carry four figures, so that the third of the result comes out.
 */
export interface Arithmetic {
  force(newton: number): string;
  length(mm: number): string;
  torque(nmm: number): string;
  number(x: number): string;
  /** What has to be put behind the arithmetic to reach the stress unit: "" or " / 1000". */
  readonly end: string;
}

export function arithmetic(units: UnitChoice): Arithmetic {
  const inch = units === "inch";
  const perMm = lengthUnit(units).perMm;
  // 1 MPa on 1 mm² is 1 N
  const perN = inch ? (1000 * stressUnit(units).perMPa) / perMm ** -2 : 1;
  const of = (scale: number) => (x: number) => significant(x * scale, 4);
  return {
    force: of(perN),
    length: of(perMm),
    torque: of(inch ? 12 * torqueUnit("inch").perNmm : 1),
    number: of(1),
    end: inch ? " / 1000" : "",
  };
}
