import { existsSync, writeFileSync } from "node:fs";
import { type Fault, nearest, PROFILE_KINDS, starterPart } from "../design/index.ts";
import { exitCode } from "./exitCode.ts";
import { printable } from "./printable.ts";
import { out } from "./say.ts";
import { sayFaults } from "./sayFaults.ts";

/** The `start` command. Never writes over a file. @returns the exit code. */
export function writeStarter(asked: string, file: string | undefined): number {
  const word = asked
    .trim()
    .toLowerCase()
    .replace(/[\s_]+/g, "-");
  const hyphened = (known: string) => known.replaceAll(" ", "-");
  const kind = PROFILE_KINDS.find((known) => hyphened(known) === word);
  const words = PROFILE_KINDS.map(hyphened);
  if (!kind) {
    const near = nearest(asked, words);
    return refuse({
      key: "kind",
      problem: `"${printable(asked)}" is none of ${words.join(", ")}`,
      remedy: near
        ? `did you mean ${near}?`
        : /\.ya?ml$/i.test(asked)
          ? `to name the file, write --file ${printable(asked)}`
          : `use one of them`,
    });
  }
  const text = starterPart(kind);
  if (file === "-") {
    out(text.trimEnd());
    return exitCode.ok;
  }
  if (file !== undefined && file.trim() === "")
    return refuse({ key: "--file", problem: "names no file", remedy: "give a name, such as hub.yaml" });
  const target = file ?? `${hyphened(kind)}.yaml`;
  const shown = printable(target, 200);
  try {
    // "wx" refuses where anything stands already, a link to nowhere included
    writeFileSync(target, text, { flag: "wx" });
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "EEXIST" || existsSync(target)) {
      return refuse({ key: shown, problem: "is there already", remedy: "choose another name with --file" });
    }
    const reason =
      code === "ENOENT" ? "its folder is not there" : code === "EACCES" ? "no right to write there" : code;
    return refuse({
      key: shown,
      problem: `cannot be written (${reason})`,
      remedy: "choose another place with --file",
    });
  }
  const quoted = /^[\w./-]+$/.test(target) ? target : `"${target}"`;
  out(`Wrote ${shown}. Next:`);
  out(`  notchwright check ${quoted}`);
  out(`  notchwright run ${quoted} --out out`);
  return exitCode.ok;
}

function refuse(fault: Fault): number {
  return sayFaults([fault]);
}
