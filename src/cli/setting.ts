/** What a command's file is given to do its work with. */
export interface Setting {
  /** URL of the program file, for worker threads. */
  readonly programUrl: string;
  /** Called with the exit code when the command has done its work. */
  readonly ended: (code: number) => void;
}
