import { err } from "./say.ts";

/** Tells on stderr how a run gets on: a bar where someone looks on, plain lines in a log. */
export interface Progress {
  started(name: string): void;
  /** `line` is what a log gets; the bar only moves. */
  ended(name: string, line: string): void;
  /** Something worth a line in either. */
  note(line: string): void;
  stop(): void;
}

export async function startProgress(total: number, quiet: boolean): Promise<Progress> {
  const bar = process.stderr.isTTY === true && process.env["TERM"] !== "dumb";
  if (quiet || total === 0) return { started() {}, ended() {}, note: err, stop() {} };
  return bar ? barProgress(total) : lineProgress(total);
}

function lineProgress(total: number): Progress {
  let done = 0;
  return {
    started() {},
    ended(_name, line) {
      done++;
      err(`${String(done).padStart(String(total).length)}/${total}  ${line}`);
    },
    note: err,
    stop() {},
  };
}

async function barProgress(total: number): Promise<Progress> {
  const { MultiBar } = (await import("cli-progress")).default;
  const bars = new MultiBar({
    stream: process.stderr,
    format: "[{bar}] {value}/{total} {names}",
    barCompleteChar: "=",
    barIncompleteChar: " ",
    barsize: 30,
    hideCursor: true,
    clearOnComplete: true,
    // Ctrl-C is answered by the run itself
    gracefulExit: false,
  });
  const bar = bars.create(total, 0, { names: "" });
  const busy = new Set<string>();
  const names = () => [...busy].join(", ");
  return {
    started(name) {
      busy.add(name);
      bar.update({ names: names() });
    },
    ended(name) {
      busy.delete(name);
      bar.increment(1, { names: names() });
    },
    note(line) {
      bars.log(`${line}\n`);
      bars.update();
    },
    stop() {
      bars.stop();
    },
  };
}
