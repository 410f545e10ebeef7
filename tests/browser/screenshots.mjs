// Pictures of reports in every look, for looking at: light, dark, red night, a phone, the analyst's part, print.
// node screenshots.mjs CHROMIUM PLAYWRIGHT_CORE FOLDER NAME=REPORT.html...
import { createRequire } from 'node:module'
import { mkdirSync, statSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { contrasts } from './contrast.mjs'

const [chromiumPath, playwrightPath, folder, ...reports] = process.argv.slice(2)
const { chromium } = createRequire(import.meta.url)(resolve(playwrightPath))
mkdirSync(folder, { recursive: true })
const browser = await chromium.launch({ executablePath: chromiumPath, args: ['--no-sandbox', '--disable-gpu'] })
const DESK = { width: 1280, height: 900 }, PHONE = { width: 390, height: 844 }

console.log('| report | kB | loaded ms | drawn ms | least contrast light, dark, night, print | pages |\n|---|---|---|---|---|---|')
for (const named of reports) {
  const [name, file] = named.split('=')
  const url = pathToFileURL(resolve(file)).href, least = []
  let times = null
  const page = await browser.newPage({ viewport: DESK })
  for (const look of ['light', 'dark', 'night']) {
    const begun = Date.now()
    await page.goto('about:blank')
    await page.goto(`${url}#look=${look}`, { waitUntil: 'load' })
    await page.waitForSelector('html[data-drawn]')
    times ??= [Date.now() - begun, await page.evaluate(() => document.documentElement.dataset.drawn)]
    await page.screenshot({ path: join(folder, `${name}-${look}.png`), fullPage: true })
    least.push((await contrasts(page)).least[0].toFixed(2))
  }
  await page.goto('about:blank')
  await page.goto(`${url}#look=light`, { waitUntil: 'load' })
  const pdf = await page.pdf({ path: join(folder, `${name}-print.pdf`), preferCSSPageSize: true })
  await page.emulateMedia({ media: 'print' })
  least.push((await contrasts(page)).least[0].toFixed(2))
  await page.emulateMedia({ media: null })
  await page.evaluate(() => { document.getElementById('analyst').open = true })
  await page.waitForSelector('#provenance td')
  await page.locator('#analyst').screenshot({ path: join(folder, `${name}-analyst.png`) })
  await page.setViewportSize(PHONE)
  await page.goto('about:blank')
  await page.goto(`${url}#look=light`, { waitUntil: 'load' })
  await page.screenshot({ path: join(folder, `${name}-phone.png`) })
  await page.screenshot({ path: join(folder, `${name}-phone-whole.png`), fullPage: true })
  await page.close()
  const pages = [...pdf.toString('latin1').matchAll(/\/Type\s*\/Page\b/g)].length
  console.log(`| ${name} | ${Math.round(statSync(file).size / 1000)} | ${times[0]} | ${times[1]} | ${least.join(', ')} | ${pages} |`)
}
await browser.close()
