declare const NOTCHWRIGHT_VERSION: string | undefined;

/** Set by the build from package.json. */
export const version: string = typeof NOTCHWRIGHT_VERSION === "string" ? NOTCHWRIGHT_VERSION : "0.0.0-source";
