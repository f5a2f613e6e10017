// Looks at pages in Chromium: what axe-core finds in light and dark, and how
// wide a page is in a window of 320 pixels (WCAG 2.2, 1.4.10). Arguments: pages.
// Prints one JSON object a page.
const puppeteer = require('puppeteer-core');
const fs = require('fs');
const axe = fs.readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');

(async () => {
  const browser = await puppeteer.launch({ executablePath: process.env.CHROMIUM, args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage'] });
  for (const file of process.argv.slice(2)) {
    const page = await browser.newPage();
    const findings = [];
    const errors = [];
    let requests = 0;
    page.on('pageerror', e => errors.push(String(e)));
    page.on('request', r => { if (!r.url().startsWith('file://')) requests++; });
    await page.goto('file://' + file, { waitUntil: 'load' });
    await page.evaluate(axe);
    for (const scheme of ['light', 'dark']) {
      await page.emulateMediaFeatures([{ name: 'prefers-color-scheme', value: scheme }]);
      const out = await page.evaluate(() => axe.run(document, { resultTypes: ['violations'] }));
      findings.push(...out.violations.map(v => `${scheme}: ${v.id}: ${v.help}: ${v.nodes[0].html.slice(0, 200)}`));
    }
    await page.setViewport({ width: 320, height: 640 });
    const width = await page.evaluate(() => document.scrollingElement.scrollWidth);
    console.log(JSON.stringify({ file, findings, errors, requests, views: {}, width, scripts: await page.evaluate(() => document.scripts.length) }));
    await page.close();
  }
  await browser.close();
})().catch(e => { console.error(e); process.exit(1); });
