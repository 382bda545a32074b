import { createHash } from "node:crypto";
import {
  accessSync,
  closeSync,
  constants,
  lstatSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { basename, dirname, extname, join, relative, resolve, sep } from "node:path";
import { DesignError, type Fault } from "../design/design.ts";
import { reason } from "./fileFaults.ts";
import { leaveLock, takeLock } from "./folderLock.ts";
import { printable } from "./printable.ts";
import { removeIfPossible } from "./removeIfPossible.ts";
import { sha256 } from "./sha256.ts";

/**
 * The folder a run writes into. What is ours in it is listed, with a hash, in a manifest inside `.notchwright/`;
 * everything else belongs to someone else and is never written over, moved or removed. Every path is checked
 * piece by piece for links before it is written to, so that nothing lands outside the folder.
 */
export interface OutputFolder {
  /** Real, absolute path. */
  readonly path: string;
  /** As the user gave it, for messages. */
  readonly shown: string;
  /** Path relative to the folder, "/" between pieces, to the SHA-256 of what was written there. */
  files: Map<string, readonly string[]>;
}

/** Content of one file to be written, or a file in `.notchwright/` that holds it already. */
export type Output = { readonly text: string } | { readonly staged: string; readonly hash: string };

/** What `writeOutputs` did beside writing, to be told to the user. */
export interface WriteReport {
  /** Files of ours that somebody had edited: `[where it was, where it is now]`. */
  readonly movedAside: readonly (readonly [string, string])[];
  readonly removed: readonly string[];
}

const HOME = ".notchwright";
const MANIFEST = `${HOME}/manifest.json`;
const LOCK = `${HOME}/running`;
/** What desktops strew into every folder; nobody's work. */
const DUST = new Set([".DS_Store", "Thumbs.db", "desktop.ini"]);
const OPTION = "--out";
/** Where the commands beside `run` put their charts. */
export const CHART_FOLDERS = ["hardness/", "changes/", "release/"] as const;

/**
 * Looks at the folder without touching it.
 * @param wanted paths, relative to the folder, that the run is going to write.
 * @param intoExisting whether other people's files may be in the folder.
 * @returns every reason not to go on.
 */
export function inspectOutput(shown: string, wanted: readonly string[], intoExisting: boolean): Fault[] {
  const fault = (problem: string, remedy: string): Fault => ({ key: OPTION, problem, remedy });
  const name = printable(shown, 200);
  if (shown === "" || shown.includes("\0")) return [fault("names no folder", "give a folder, say out/hub")];
  const path = resolve(shown);
  try {
    const stat = statSync(path, { throwIfNoEntry: false });
    if (!stat) {
      if (lstatSync(path, { throwIfNoEntry: false }))
        return [fault(`${name} is a link to nothing`, "give a folder")];
      return inspectParent(path, name);
    }
    if (!stat.isDirectory()) return [fault(`${name} is a file`, "give a folder, or the name of a new one")];
    accessSync(path, constants.W_OK | constants.X_OK | constants.R_OK);
    const present = readdirSync(path).filter((entry) => !DUST.has(entry));
    const files = readManifest(path);
    if (files === null && present.length > 0) {
      if (present.includes(HOME) && present.length === 1) {
        // an earlier start that was cut off before its manifest was written
        return linkFaults(path, [MANIFEST]);
      }
      if (!intoExisting) {
        const foreign = present.find((entry) => entry !== HOME) ?? HOME;
        return [
          fault(
            `${name} holds files that notchwright did not write, such as "${printable(foreign)}"`,
            foreignFaults(path, wanted, files).length > 0
              ? "choose another folder"
              : "choose another folder, or add --into-existing to put new files beside them",
          ),
        ];
      }
    }
    return [...linkFaults(path, [MANIFEST, ...wanted]), ...foreignFaults(path, wanted, files)];
  } catch (error) {
    return [fault(`${name} cannot be used (${reason(error)})`, "choose a folder that you may write to")];
  }
}

/** A folder yet to be made: the nearest folder above it must be one, and writable. */
function inspectParent(path: string, name: string): Fault[] {
  let above = dirname(path);
  for (;;) {
    const stat = statSync(above, { throwIfNoEntry: false });
    if (stat?.isDirectory()) break;
    if (stat) {
      return [
        {
          key: OPTION,
          problem: `${name} cannot be made: ${printable(above, 200)} is a file`,
          remedy: "choose a folder elsewhere",
        },
      ];
    }
    if (dirname(above) === above) break;
    above = dirname(above);
  }
  accessSync(above, constants.W_OK | constants.X_OK);
  return [];
}

/** Makes a folder and those above it; `mkdir`'s own recursion never ends where a folder cannot be made at all (/proc). */
function makeFolder(path: string): void {
  if (statSync(path, { throwIfNoEntry: false })) return;
  makeFolder(dirname(path));
  makeOne(path);
}

/** Another run may make it at the same moment. */
function makeOne(path: string): void {
  try {
    mkdirSync(path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "EEXIST" || !statSync(path).isDirectory()) throw error;
  }
}

/** Makes the folder if need be, marks it as ours and takes it for this run. @throws DesignError */
export function openOutput(shown: string): OutputFolder {
  try {
    makeFolder(resolve(shown));
    const path = realpathSync(resolve(shown));
    for (const inner of ["", "solved", "staged"]) {
      const target = checkedPath(path, inner ? `${HOME}/${inner}` : HOME);
      if (!lstatSync(target, { throwIfNoEntry: false })) makeOne(target);
    }
    if (!takeLock(checkedPath(path, LOCK))) throw new DesignError([beingWritten(shown)]);
    const folder: OutputFolder = { path, shown, files: readManifest(path) ?? new Map() };
    writeManifest(folder);
    // what a run that was cut off left behind
    for (const file of stagedFiles(folder)) rmSync(file, { force: true });
    return folder;
  } catch (error) {
    throw asFault(error, shown);
  }
}

const beingWritten = (shown: string): Fault => ({
  key: OPTION,
  problem: `another run is writing into ${printable(shown, 200)}`,
  remedy: `wait for it or choose another folder (if none runs, remove ${LOCK} in it)`,
});

/** Gives the folder back, and the room that drawings took which never came to their place. Never throws: the command has ended as it has. */
export function closeOutput(folder: OutputFolder): void {
  try {
    for (const file of stagedFiles(folder)) removeIfPossible(file);
  } catch {
    // a folder that cannot be listed holds nothing that matters
  }
  leaveLock(join(folder.path, LOCK));
}

export function solvedFolder(folder: OutputFolder): string {
  return join(folder.path, HOME, "solved");
}

export function stagedFolder(folder: OutputFolder): string {
  return join(folder.path, HOME, "staged");
}

function stagedFiles(folder: OutputFolder): string[] {
  return readdirSync(stagedFolder(folder)).map((entry) => join(stagedFolder(folder), entry));
}

/** Bytes gathered before they are written. */
const PIECE = 1 << 20;

/** Puts a long text into `.notchwright/`, to be moved to its place by `writeOutputs`, without ever holding the whole of it. */
export function stageText(folder: OutputFolder, name: string, pieces: Iterable<string>): Output {
  const staged = join(stagedFolder(folder), name);
  const hash = createHash("sha256");
  try {
    const file = openSync(staged, "w");
    try {
      let gathered = "";
      const put = (): void => {
        const bytes = Buffer.from(gathered);
        hash.update(bytes);
        writeFileSync(file, bytes);
        gathered = "";
      };
      for (const piece of pieces) {
        gathered += piece;
        if (gathered.length >= PIECE) put();
      }
      put();
    } finally {
      closeSync(file);
    }
  } catch (error) {
    throw asFault(error, folder.shown);
  }
  return { staged, hash: hash.digest("hex") };
}

/**
 * Writes all outputs of a command, each by rename, and removes files of ours that no longer belong: of those, only the ones
 * whose names `owns` says are this command's, so that a run and the charts of other commands can share a folder.
 * A file of ours that somebody edited since is moved aside, never lost.
 * @throws DesignError when a target is not ours, or the disk refuses.
 */
export function writeOutputs(
  folder: OutputFolder,
  outputs: ReadonlyMap<string, Output>,
  owns: (name: string) => boolean = (name) => !CHART_FOLDERS.some((other) => name.startsWith(other)),
): WriteReport {
  const { path, shown } = folder;
  const faults = [
    ...linkFaults(path, [...outputs.keys()]),
    ...foreignFaults(path, [...outputs.keys()], folder.files),
  ];
  if (faults.length > 0) throw new DesignError(faults);
  const movedAside: [string, string][] = [];
  const removed: string[] = [];
  try {
    const hashes = new Map<string, string>();
    for (const [name, output] of outputs)
      hashes.set(name, "text" in output ? sha256(output.text) : output.hash);
    // both the old and the new content count as ours until all is written: a run cut off in between
    // must not take its own half for somebody else's
    for (const [name, hash] of hashes)
      folder.files.set(name, [...new Set([...(folder.files.get(name) ?? []), hash])]);
    writeManifest(folder);
    for (const [name, output] of outputs) {
      const target = checkedPath(path, name);
      makeFolder(dirname(target));
      if (lstatSync(target, { throwIfNoEntry: false }) && !unchanged(folder, name)) {
        const aside = freeName(path, name);
        renameSync(target, join(path, aside));
        movedAside.push([name, aside]);
      }
      const source = "text" in output ? join(stagedFolder(folder), "text.part") : output.staged;
      if ("text" in output) writeFileSync(source, output.text);
      renameSync(source, target);
      folder.files.set(name, [hashes.get(name)!]);
    }
    for (const name of [...folder.files.keys()]) {
      if (outputs.has(name) || !owns(name)) continue;
      // an edited file is left where it is, and is its owner's from now on
      if (unchanged(folder, name)) {
        rmSync(checkedPath(path, name));
        removed.push(name);
      }
      folder.files.delete(name);
    }
    writeManifest(folder);
  } catch (error) {
    throw asFault(error, shown);
  }
  return { movedAside, removed };
}

/** Is the file listed, a plain file, and as we wrote it? */
function unchanged(folder: OutputFolder, name: string): boolean {
  const known = folder.files.get(name);
  if (!known || linkFaults(folder.path, [name]).length > 0) return false;
  const target = join(folder.path, name);
  const stat = lstatSync(target, { throwIfNoEntry: false });
  return stat?.isFile() === true && known.includes(sha256(readFileSync(target)));
}

/** "summary.csv" -> "summary (edited 1).csv" */
function freeName(path: string, name: string): string {
  const ending = extname(name);
  const stem = join(dirname(name), basename(name, ending));
  for (let k = 1; ; k++) {
    const free = `${stem} (edited ${k})${ending}`;
    if (!lstatSync(join(path, free), { throwIfNoEntry: false })) return free;
  }
}

/** Files in the way that the manifest does not list. */
function foreignFaults(
  path: string,
  wanted: readonly string[],
  files: ReadonlyMap<string, unknown> | null,
): Fault[] {
  return wanted
    .filter((name) => !files?.has(name) && lstatSync(join(path, name), { throwIfNoEntry: false }))
    .map((name) => ({
      key: OPTION,
      problem: `"${printable(name)}" is in the way and was not written by notchwright`,
      remedy: "move it, or choose another folder",
    }));
}

/** Every piece of every path must be a plain folder or file (or absent): a link could lead anywhere. */
function linkFaults(path: string, wanted: readonly string[]): Fault[] {
  const faults: Fault[] = [];
  for (const name of wanted) {
    try {
      checkedPath(path, name);
    } catch (error) {
      if (!(error instanceof DesignError)) throw error;
      faults.push(...error.faults);
    }
  }
  return faults;
}

/**
 * Absolute path of `name` inside the folder.
 * @throws DesignError when it would leave the folder, or leads through a link.
 */
function checkedPath(path: string, name: string): string {
  const refuse = (problem: string): never => {
    throw new DesignError([{ key: OPTION, problem, remedy: "choose another folder" }]);
  };
  const target = resolve(path, name);
  const inside = relative(path, target);
  if (inside === "" || inside.startsWith("..") || resolve(inside) === inside) {
    return refuse(`"${printable(name)}" lies outside the folder`);
  }
  let piece = path;
  for (const part of inside.split(sep)) {
    piece = join(piece, part);
    const stat = lstatSync(piece, { throwIfNoEntry: false });
    if (!stat) break;
    if (stat.isSymbolicLink()) return refuse(`"${printable(relative(path, piece))}" in it is a link`);
    if (piece !== target && !stat.isDirectory())
      return refuse(`"${printable(relative(path, piece))}" in it is a file`);
  }
  return target;
}

/** The listed files, or null when the folder carries no manifest that reads well. */
function readManifest(path: string): Map<string, readonly string[]> | null {
  if (linkFaults(path, [MANIFEST]).length > 0) return null;
  let text: string;
  try {
    text = readFileSync(join(path, MANIFEST), "utf8");
  } catch {
    return null;
  }
  const files = new Map<string, readonly string[]>();
  try {
    const manifest = JSON.parse(text) as { writtenBy?: unknown; files?: unknown };
    if (manifest.writtenBy !== "notchwright" || typeof manifest.files !== "object") return null;
    for (const [name, hashes] of Object.entries(manifest.files ?? {})) {
      // a manifest that somebody tampered with must not name files elsewhere as ours
      if (linkFaults(path, [name]).length > 0 || !Array.isArray(hashes)) continue;
      files.set(
        name,
        hashes.filter((hash) => typeof hash === "string"),
      );
    }
  } catch {
    return null;
  }
  return files;
}

function writeManifest({ path, files }: OutputFolder): void {
  const listed = Object.fromEntries([...files].sort(([a], [b]) => (a < b ? -1 : 1)));
  const part = checkedPath(path, `${MANIFEST}.part`);
  const target = checkedPath(path, MANIFEST);
  writeFileSync(part, `${JSON.stringify({ writtenBy: "notchwright", files: listed }, null, 2)}\n`);
  renameSync(part, target);
}

/** Errors of the file system become one clear line; anything else is left as it is. */
export function asFault(error: unknown, shown: string): unknown {
  if (error instanceof DesignError || !(error instanceof Error) || !("code" in error)) return error;
  return new DesignError([
    {
      key: OPTION,
      problem: `${printable(shown, 200)} cannot be written to (${reason(error)})`,
      remedy: "choose a folder that you may write to, with room left on the disk",
    },
  ]);
}
