import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll } from "vitest";

/** The program as it is handed out. */
export const PROGRAM = fileURLToPath(new URL("../../dist/notchwright.js", import.meta.url));
if (!existsSync(PROGRAM)) throw new Error("dist/notchwright.js is not there: npm run build first");

export interface Ended {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

export interface Setting {
  readonly cwd?: string;
  readonly input?: string;
  readonly env?: Readonly<Record<string, string>>;
  /** Called with each piece of stderr, and with a way to send a signal. */
  readonly onErr?: (text: string, kill: (signal: NodeJS.Signals) => void) => void;
}

/** Runs the real program in a process of its own. */
export function notchwright(args: readonly string[], setting: Setting = {}): Promise<Ended> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [PROGRAM, ...args], {
      cwd: setting.cwd,
      env: { ...process.env, NO_COLOR: "1", ...setting.env },
    });
    let out = "";
    let err = "";
    child.stdout.setEncoding("utf8").on("data", (text: string) => {
      out += text;
    });
    child.stderr.setEncoding("utf8").on("data", (text: string) => {
      err += text;
      setting.onErr?.(text, (signal) => child.kill(signal));
    });
    child.on("error", reject).on("close", (code) => resolve({ code, out, err }));
    child.stdin.end(setting.input ?? "");
  });
}

/** A folder for one test file, gone at its end. */
export function workFolder(): { readonly path: string; file(name: string, text: string): string } {
  const path = mkdtempSync(join(tmpdir(), "notchwright-cli-"));
  afterAll(() => rmSync(path, { recursive: true, force: true }));
  return {
    path,
    file(name, text) {
      writeFileSync(join(path, name), text);
      return join(path, name);
    },
  };
}

/** A part file that is quick to solve: a ring with few teeth, three root radii. */
export const HUB = `part: Test hub
profile:
  kind: internal spline
  teeth: 17
  module: 2 mm
  pressure angle: 30 deg
  root form: flat
  tip diameter: 32.4 mm
  root diameter: 37 mm
  rim diameter: 56 mm
  root radius: 0.4 mm
  face width: 16 mm
load:
  torque: 690 N m
  shock factor: 1.8
  teeth sharing: 50 %
steel:
  grade: 4340
  hardness: 38..42 HRC
answer: { accuracy: 5 % }
variants:
  - name: V1
  - name: V2
    profile: { root radius: 0.6 mm }
  - name: V3
    profile: { face width: 21 mm }
`;
