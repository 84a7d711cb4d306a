// Opens a page in Debian's Chromium as a reader would, on a light and a dark screen and on paper, and prints what axe-core
// objects to, one line each: view, how grave, rule, how often, first place. It also says if the page asked for anything,
// logged an error, or opened a dialog.
import fs from 'node:fs';
import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import puppeteer from 'puppeteer-core';

const axe = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const views = [['light', 'light', 'screen'], ['dark', 'dark', 'screen'], ['paper', 'light', 'print']];
const browser = await puppeteer.launch({
  executablePath: '/usr/bin/chromium', headless: true, args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage'],
});
for (const file of process.argv.slice(2)) {
  const address = pathToFileURL(file).href;
  for (const [view, scheme, medium] of views) {
    const page = await browser.newPage();
    await page.setViewport({ width: 1200, height: 900 });
    await page.emulateMediaFeatures([{ name: 'prefers-color-scheme', value: scheme }]);
    await page.emulateMediaType(medium);
    page.on('dialog', dialog => { console.log(view, 'serious', 'dialog', 1, file); dialog.dismiss(); });
    page.on('pageerror', error => console.log(view, 'serious', 'error', 1, error.message));
    page.on('request', request => {
      if (request.url() !== address && !request.url().startsWith('data:'))
        console.log(view, 'serious', 'request', 1, request.url());
    });
    await page.goto(address, { waitUntil: 'load', timeout: 120000 });
    await page.evaluate(axe);
    const found = await page.evaluate(() => axe.run(document));
    for (const one of found.violations)
      console.log(view, one.impact, one.id, one.nodes.length, one.nodes[0].html.slice(0, 200).replaceAll('\n', ' '));
    console.log(view, 'passed', found.passes.length);
    await page.close();
  }
}
await browser.close();
