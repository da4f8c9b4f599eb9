// prepare.mjs FROM TO - the page's sources and all its libraries in a folder of the build: what the tests of the page use.
import { execFileSync } from "node:child_process";
import { cpSync, existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const [from, to] = process.argv.slice(2);
mkdirSync(to, { recursive: true });
rmSync(join(to, "src"), { recursive: true, force: true });
for (const name of ["src", "package.json", "package-lock.json", "tsconfig.json"]) cpSync(join(from, name), join(to, name), { recursive: true });
const lock = readFileSync(join(from, "package-lock.json"), "utf8");
const stamp = join(to, "libraries.stamp");
if (!existsSync(stamp) || readFileSync(stamp, "utf8") !== lock) {
  execFileSync("npm", ["ci", "--ignore-scripts", "--no-audit", "--no-fund", "--no-update-notifier", "--loglevel=error"], { cwd: to, stdio: "inherit" });
  writeFileSync(stamp, lock);
}
