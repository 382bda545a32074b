import elasticExact from "../../fixtures/reference/elastic-exact.json" with { type: "json" };
import notchCharts from "../../fixtures/reference/notch-charts.json" with { type: "json" };
import sharpCorner from "../../fixtures/reference/sharp-corner.json" with { type: "json" };
import toothRoot from "../../fixtures/reference/tooth-root.json" with { type: "json" };

/** One case of a reference file; numbers under the names the file gives them. */
export interface ReferenceCase {
  readonly id: string;
  readonly section: string;
  readonly inputs: Readonly<Record<string, number>>;
  readonly expected: Readonly<Record<string, number>>;
}

export interface ReferenceSection {
  readonly id: string;
  readonly title: string;
  readonly source: string;
  readonly accuracy: string;
}

interface ReferenceFile {
  readonly sections: readonly ReferenceSection[];
  readonly cases: readonly ReferenceCase[];
}

// the files are data with many shapes; only the parts named above are read, each by the case that needs it
const files = {
  elastic: elasticExact as unknown as ReferenceFile,
  notch: notchCharts as unknown as ReferenceFile,
  corner: sharpCorner as unknown as ReferenceFile,
  tooth: toothRoot as unknown as ReferenceFile,
};

export type ReferenceName = keyof typeof files;

/** @throws Error when the file has no such section. */
export function referenceSection(file: ReferenceName, id: string): ReferenceSection {
  const found = files[file].sections.find((s) => s.id === id);
  if (!found) throw new Error(`reference ${file}: no section "${id}"`);
  return found;
}

/** All cases of a section, in the order of the file. */
export function referenceCases(file: ReferenceName, section: string): readonly ReferenceCase[] {
  const found = files[file].cases.filter((c) => c.section === section);
  if (found.length === 0) throw new Error(`reference ${file}: no cases of "${section}"`);
  return found;
}
