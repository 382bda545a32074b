import { readFileSync } from "node:fs";

export interface Case {
  readonly id: string;
  readonly section: string;
  readonly inputs: Readonly<Record<string, number | string>>;
  readonly expected: Readonly<Record<string, number>>;
}

/** Cases of one section of a reference file. */
export function reference(file: string, section: string): Case[] {
  const text = readFileSync(new URL(`../../fixtures/reference/${file}.json`, import.meta.url), "utf8");
  const { cases } = JSON.parse(text) as { cases: Case[] };
  return cases.filter((known) => known.section === section);
}

/** |found / expected − 1|; the plain difference where 0 is expected. */
export const off = (found: number, expected: number): number =>
  expected === 0 ? Math.abs(found) : Math.abs(found / expected - 1);
