// Opens a report in Chromium, works every control, prints what it saw as JSON.
// node report.mjs CHROMIUM PLAYWRIGHT_CORE REPORT.html [FOLDER_FOR_SCREENSHOTS]
import { createRequire } from 'node:module'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { pathToFileURL } from 'node:url'

const [chromiumPath, playwrightPath, report, shots] = process.argv.slice(2)
const { chromium } = createRequire(import.meta.url)(resolve(playwrightPath))
const profile = mkdtempSync(join(tmpdir(), 'report-browser-'))
const browser = await chromium.launchPersistentContext(profile, {
  executablePath: chromiumPath,
  headless: true,
  viewport: { width: 1280, height: 900 },
  colorScheme: 'light',
  args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking',
    '--disable-component-update', '--disable-sync'],
})
const seen = { errors: [], requests: [], steps: {} }
try {
  const page = browser.pages()[0] ?? await browser.newPage()
  page.on('console', (message) => { if (['error', 'warning'].includes(message.type())) seen.errors.push(message.text()) })
  page.on('pageerror', (error) => seen.errors.push(String(error)))
  page.on('request', (request) => seen.requests.push(request.url()))
  page.on('dialog', (dialog) => { seen.errors.push(`dialog: ${dialog.message()}`); dialog.dismiss() })
  const url = pathToFileURL(resolve(report)).href
  seen.url = url
  const begun = Date.now()
  await page.goto(url, { waitUntil: 'load' })
  await page.waitForSelector('#worst td')
  seen.load_ms = Date.now() - begun

  const state = () => page.evaluate(() => {
    const text = (selector) => document.querySelector(selector)?.textContent ?? null
    const shape = (selector) => document.querySelector(selector)?.outerHTML ?? null
    const value = (id) => document.getElementById(id).value
    return {
      chosen: Object.fromEntries(['region', 'window', 'tws', 'twa', 'tack', 'look', 'time'].map((id) => [id, value(id)])),
      readout: Object.fromEntries([...document.querySelectorAll('#readout tr[data-value]')].map((row) => [row.dataset.value, row.cells[1].textContent])),
      title: text('#readout th:nth-child(2)'),
      worst: [...document.querySelectorAll('#worst tbody tr')].map((row) => [...row.cells].map((cell) => cell.textContent)),
      time: text('#time-text'), map: shape('#map svg'), polar: shape('#polar svg'), stages: shape('#stages svg'),
      sea: shape('#sea'), advisories: text('#advisories'), gaps: text('#gaps'), provenance: text('#provenance'),
      sailed: { lines: document.querySelectorAll('#map .sailed path').length, rings: document.querySelectorAll('#map .sailed circle').length, note: text('#sailed-note') },
      caution: text('.caution'), cells: document.querySelectorAll('#map .cells path').length, seaNote: text('#sea-note'),
      mapRegions: [...document.querySelectorAll('#map .fills path')].map((path) => [path.dataset.region, path.getBBox().width, path.getBBox().x]),
      cellBoxes: [...document.querySelectorAll('#map .cells path')].slice(0, 4).map((path) => [path.getBBox().x, path.getBBox().width]),
      mapWidth: document.querySelector('#map svg').viewBox.baseVal.width,
      paper: getComputedStyle(document.body).backgroundColor, ink: getComputedStyle(document.body).color,
      colours: [...new Set([...document.querySelectorAll('svg *, .swatch, .ramp i')].flatMap((element) => {
        const style = getComputedStyle(element)
        return [style.fill, style.stroke, style.backgroundColor, style.color]
      }))],
      bold: document.querySelectorAll('#worst b').length,
    }
  })
  const step = async (name) => { seen.steps[name] = await state() }
  // the page hears of another colour scheme when it next draws a frame
  const frame = () => page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
  const last = (id) => page.evaluate((id) => document.getElementById(id).options[document.getElementById(id).length - 1].value, id)
  const shot = async (name) => { if (shots) await page.screenshot({ path: join(shots, `${name}.png`), fullPage: true }) }

  await step('start')
  await shot('light')
  await page.locator('#time').focus()
  for (const key of ['Home', 'ArrowRight']) await page.keyboard.press(key)
  await step('slider')
  for (const id of ['region', 'window', 'tws', 'twa', 'tack']) {
    await page.selectOption(`#${id}`, await last(id))
    await step(id)
  }
  await page.locator('#worst button').first().click()
  await step('worst')
  for (const look of ['dark', 'night', 'light', 'system']) {
    await page.selectOption('#look', look)
    await step(look)
    if (look !== 'system') await shot(look === 'light' ? 'light-last' : look)
  }
  await page.emulateMedia({ colorScheme: 'dark' })
  await frame()
  await step('system-dark')
  await page.emulateMedia({ colorScheme: 'light', media: 'print' })
  await step('print')
  await shot('print')
  await page.emulateMedia({ media: 'screen' })

  seen.focus = []
  await page.selectOption('#region', { index: 0 })
  await page.evaluate(() => { document.getElementById('region').focus(); scrollTo(0, 0) })
  // the slider takes no focus where there is one window
  for (let i = 0; i < 8 && seen.focus.at(-1)?.[0] !== 'map'; i += 1) {
    if (i > 0) await page.keyboard.press('Tab')
    seen.focus.push(await page.evaluate(() => [document.activeElement.id, getComputedStyle(document.activeElement).outlineStyle]))
  }
  seen.unlabelled = await page.evaluate(() => [...document.querySelectorAll('select, input')].filter((control) => control.labels.length === 0).map((control) => control.id))

  // the map by keyboard, from where the last Tab led
  const place = () => page.evaluate(() => {
    const box = (element) => { const { x, y, width, height } = element.getBBox(); return [x, y, width, height] }
    const readout = document.getElementById('cell-readout').textContent
    const cells = [...document.querySelectorAll('#map .cells path')]
    return {
      readout, region: document.getElementById('region').value, focus: document.activeElement.id, scrolled: scrollY,
      marks: [...document.querySelectorAll('#map .mark path')].map(box),
      cell: cells.filter((cell) => cell.textContent === readout).map(box),
    }
  })
  seen.places = [['Tab', await place()]]
  await shot('map-focus')
  for (const key of ['ArrowLeft', 'ArrowLeft', 'ArrowRight', 'ArrowRight', 'Enter', 'ArrowUp', 'ArrowDown', 'ArrowLeft', ' ', 'x']) {
    await page.keyboard.press(key)
    seen.places.push([key, await place()])
  }
  await shot('map-keys')
  await page.keyboard.press('Shift+Tab')
  seen.places.push(['Shift+Tab', await place()])

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
