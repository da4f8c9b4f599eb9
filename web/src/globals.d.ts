// What build.mjs writes into the bundles.

/** Files of the page, by part: "shell" is what every screen needs; "draw", "plan", "works" and "wall" are what each adds. */
declare const BUILD_FILES: Record<"shell" | "draw" | "plan" | "works" | "wall", string[]>;
/** Changes whenever a file of the page does. */
declare const BUILD_ID: string;
