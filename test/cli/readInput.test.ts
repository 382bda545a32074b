import { mkdtempSync, rmSync, truncateSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, test } from "vitest";
import { readInput } from "../../src/cli/readInput.ts";
import { faultLine } from "../../src/design/design.ts";

const home = mkdtempSync(join(tmpdir(), "notchwright-in-"));
afterAll(() => rmSync(home, { recursive: true, force: true }));

function told(name: string, content?: string | Uint8Array): string {
  const file = join(home, name);
  if (content !== undefined) writeFileSync(file, content);
  const read = readInput(file);
  return "text" in read ? `text ${read.text}` : faultLine(read).replace(home, "HOME");
}

describe("readInput", () => {
  test("reads UTF-8, with or without a byte order mark", () => {
    expect(told("plain.yaml", "part: Nabe Ø34")).toBe("text part: Nabe Ø34");
    expect(told("marked.yaml", "\ufeffpart: x")).toBe("text part: x");
    expect(told("empty.yaml", "")).toBe("text ");
  });

  test("says what to do when there is no such file, and names one that is spelled nearly so", () => {
    expect(told("plain.yml")).toBe('HOME/plain.yml: no such file; "plain.yaml" is in that folder');
    expect(told("something-else.txt")).toContain("no such file; check the name, or write a first part file");
  });

  test("refuses a folder", () => {
    expect(faultLine(readInput(home) as never)).toContain("is a folder; name the part file in it, say ");
  });

  test("refuses what is not UTF-8 text", () => {
    expect(told("latin.yaml", Uint8Array.of(0x70, 0xd8, 0x33, 0x34))).toContain(
      "the file is not UTF-8 text; save it as UTF-8",
    );
    expect(told("wide.yaml", Uint8Array.of(0xff, 0xfe, 0x70, 0))).toContain(
      "wide.yaml:1:1 the file is saved as UTF-16",
    );
    expect(told("binary.yaml", Uint8Array.of(0x7f, 0x45, 0, 1))).toContain("the file is not a text file");
  });

  test("refuses 50 MB by its size, and an endless device by what it has read", () => {
    const file = join(home, "large.yaml");
    writeFileSync(file, "");
    truncateSync(file, 50_000_000);
    expect(told("large.yaml")).toContain(
      "HOME/large.yaml:1:1 the file holds 50,000,000 bytes, more than a part file can",
    );
    expect(faultLine(readInput("/dev/zero") as never)).toContain(
      "/dev/zero:1:1 the file holds more than 1 MB",
    );
  });
});
