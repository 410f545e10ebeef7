// Opens an atlas's page in Chromium, moves its sliders, prints what it saw as JSON.
// node atlas.mjs CHROMIUM PLAYWRIGHT_CORE atlas.html [FOLDER_FOR_SCREENSHOTS]
import { createRequire } from 'node:module'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { pathToFileURL } from 'node:url'

const [chromiumPath, playwrightPath, file, shots] = process.argv.slice(2)
const { chromium } = createRequire(import.meta.url)(resolve(playwrightPath))
const profile = mkdtempSync(join(tmpdir(), 'atlas-browser-'))
const browser = await chromium.launchPersistentContext(profile, {
  executablePath: chromiumPath,
  headless: true,
  viewport: { width: 1280, height: 900 },
  colorScheme: 'light',
  acceptDownloads: true,
  args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking',
    '--disable-component-update', '--disable-sync'],
})
const seen = { errors: [], requests: [], steps: {} }
try {
  const page = browser.pages()[0] ?? await browser.newPage()
  page.on('console', (message) => { if (['error', 'warning'].includes(message.type())) seen.errors.push(message.text()) })
  page.on('pageerror', (error) => seen.errors.push(String(error)))
  page.on('request', (request) => { if (!request.url().startsWith('data:')) seen.requests.push(request.url()) })
  seen.url = pathToFileURL(resolve(file)).href
  const begun = Date.now()
  await page.goto(seen.url, { waitUntil: 'load' })
  await page.waitForSelector('#heat rect.cell')
  seen.load_ms = Date.now() - begun

  const frame = () => page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
  const state = () => page.evaluate(() => {
    const text = (selector) => document.querySelector(selector)?.textContent ?? null
    const rows = (selector) => [...document.querySelectorAll(`${selector} tbody tr`)].map((row) => [...row.cells].map((cell) => cell.textContent))
    return {
      title: text('#title'), caution: text('.caution'), sea: text('#sea'), note: text('#wind-sea-note'),
      beyond: document.getElementById('beyond').hidden ? null : text('#beyond'), csv: !document.getElementById('csv').hidden,
      stages: rows('#stages'), table: rows('#table'), errors: rows('#errors'),
      cells: document.querySelectorAll('#heat rect.cell').length, shades: [...new Set([...document.querySelectorAll('#heat rect.cell')].map((cell) => cell.getAttribute('fill')))],
      polar: [...document.querySelectorAll('#polar path.corrected')].map((path) => path.getAttribute('d')),
      paper: getComputedStyle(document.body).backgroundColor, ink: getComputedStyle(document.body).color,
    }
  })
  const step = async (name) => { await frame(); seen.steps[name] = await state() }
  const set = (values) => page.evaluate((values) => {
    for (const [id, value] of Object.entries(values)) document.getElementById(id).value = value
    document.getElementById('controls').dispatchEvent(new Event('input'))
  }, values)
  const shot = async (name) => { if (shots) await page.screenshot({ path: join(shots, `atlas-${name}.png`), fullPage: true }) }

  await step('start')
  await shot('light')
  await set({ fetch: 0, hs: 0, hs2: 0 })
  await step('flat')
  await set({ tws: 16, twa: -90, fetch: 7, hs: 2, tp: 10, off: 60 })
  await step('sea')
  const [download] = await Promise.all([page.waitForEvent('download'), page.click('#csv')])
  seen.csv = readFileSync(await download.path(), 'utf8')
  await set({ hs: 8, tp: 6 })
  await step('beyond')
  await set({ hs: 2, tp: 10, hs2: 1.5, tp2: 13, off2: -90 })
  await step('three')
  for (const look of ['dark', 'night', 'light']) {
    await page.selectOption('#look', look)
    await step(look)
    if (look !== 'light') await shot(look)
  }
  await page.locator('#hs').focus()
  await page.keyboard.press('ArrowRight')
  await step('key')
  const drawn = Date.now()
  for (let i = 0; i < 10; i += 1) { await page.keyboard.press('ArrowRight'); await frame() }
  seen.draw_ms = (Date.now() - drawn) / 10
  seen.unlabelled = await page.evaluate(() => [...document.querySelectorAll('select, input')].filter((control) => control.labels.length === 0).map((control) => control.id))
  await page.emulateMedia({ media: 'print' })
  await frame()
  await shot('print')
  await page.emulateMedia({ media: 'screen' })
  await page.setViewportSize({ width: 390, height: 844 })
  await page.waitForTimeout(200)
  seen.phone = await page.evaluate(() => ({
    width: document.documentElement.scrollWidth,
    wide: [...document.querySelectorAll('body *')].filter((element) => !element.closest('.scroll table, svg') && element.getBoundingClientRect().right > 391).map((element) => element.id || element.tagName),
  }))
  await shot('phone')
} finally {
  await browser.close()
  rmSync(profile, { recursive: true, force: true })
}
console.log(JSON.stringify(seen))
