// Prints what a customer is handed, on A4 and on US Letter: one sheet each. Exit code 1 if not.
//   node sheet.mjs [--pictures FOLDER] PAGE.html ...
import { mkdirSync, writeFileSync } from "node:fs";
import { basename, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const asked = process.argv.slice(2);
const at = asked.indexOf("--pictures");
const folder = at < 0 ? null : asked.splice(at, 2)[1];
if (folder) mkdirSync(folder, { recursive: true });

const browser = await chromium.launch({
  executablePath: process.env.BROWSER_PATH || "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu"],
});
let bad = 0;
for (const file of asked) {
  const page = await browser.newPage();
  await page.goto(pathToFileURL(resolve(file)).href, { waitUntil: "load" });
  for (const format of ["A4", "Letter"]) {
    const pdf = await page.pdf({ format, preferCSSPageSize: false, printBackground: true });
    // Every sheet is an object of this type; PDF 1.7, 7.7.3.3.
    const sheets = pdf.toString("latin1").match(/\/Type\s*\/Page\b/g)?.length ?? 0;
    if (folder) writeFileSync(resolve(folder, `${basename(file, ".html")}-${format}.pdf`), pdf);
    console.log(`${basename(file)} on ${format}: ${sheets} sheet${sheets === 1 ? "" : "s"}`);
    if (sheets !== 1) bad += 1;
  }
  await page.close();
}
await browser.close();
process.exit(bad ? 1 : 0);
