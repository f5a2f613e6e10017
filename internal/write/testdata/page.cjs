// Looks at pages in Chromium: what axe-core finds in light and dark, with
// braille and print, and on the first page in dark with each alone; and whether a page 320 pixels wide needs no scrolling to the side
// (WCAG 2.2, 1.4.10). Arguments: pages. Prints one JSON object a page.
const puppeteer = require('puppeteer-core');
const fs = require('fs');
const axe = fs.readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');

async function findings(page, what) {
  const out = await page.evaluate(() => axe.run(document, { resultTypes: ['violations'] }));
  return out.violations.map(v => `${what}: ${v.id}: ${v.help}: ${v.nodes[0].html.slice(0, 200)}`);
}

(async () => {
  const browser = await puppeteer.launch({ executablePath: process.env.CHROMIUM, args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage'] });
  const files = process.argv.slice(2);
  for (const file of files) {
    const page = await browser.newPage();
    const list = [];
    const errors = [];
    let requests = 0;
    page.on('pageerror', e => errors.push(String(e)));
    page.on('request', r => { if (!r.url().startsWith('file://')) requests++; });
    await page.goto('file://' + file, { waitUntil: 'load' });
    await page.evaluate(axe);
    for (const [scheme, view] of [['light', 'both'], ['dark', 'both'], ['dark', 'cells'], ['dark', 'print']].slice(0, file === files[0] ? 4 : 2)) {
      await page.emulateMediaFeatures([{ name: 'prefers-color-scheme', value: scheme }]);
      await page.click('#show-' + view);
      list.push(...await findings(page, `${scheme}, ${view}`));
    }
    const views = await page.evaluate(() => {
      const shown = s => [...document.querySelectorAll('main ' + s)].some(e => e.getClientRects().length > 0);
      const out = {};
      for (const v of ['cells', 'both', 'print']) {
        document.querySelector('#show-' + v).click();
        out[v] = [shown('.cells'), shown('.print')];
      }
      return out;
    });
    await page.setViewport({ width: 320, height: 640 });
    const width = await page.evaluate(() => {
      document.querySelector('#show-both').click();
      return document.scrollingElement.scrollWidth;
    });
    console.log(JSON.stringify({ file, findings: list, errors, requests, views, width, scripts: await page.evaluate(() => document.scripts.length) }));
    await page.close();
  }
  await browser.close();
})().catch(e => { console.error(e); process.exit(1); });
