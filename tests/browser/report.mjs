// Opens a report in Chromium, works every control, prints what it saw as JSON.
// node report.mjs CHROMIUM PLAYWRIGHT_CORE REPORT.html
import { createRequire } from 'node:module'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { pathToFileURL } from 'node:url'
import { contrasts } from './contrast.mjs'

const [chromiumPath, playwrightPath, report] = process.argv.slice(2)
const { chromium } = createRequire(import.meta.url)(resolve(playwrightPath))
const profile = mkdtempSync(join(tmpdir(), 'report-browser-'))
const browser = await chromium.launchPersistentContext(profile, {
  executablePath: chromiumPath,
  headless: true,
  viewport: { width: 1280, height: 900 },
  colorScheme: 'light',
  acceptDownloads: true,
  permissions: ['clipboard-read', 'clipboard-write'],
  args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking',
    '--disable-component-update', '--disable-sync'],
})
const seen = { errors: [], requests: [], steps: {}, contrast: {} }
try {
  const page = browser.pages()[0] ?? await browser.newPage()
  page.on('console', (message) => { if (['error', 'warning'].includes(message.type())) seen.errors.push(message.text()) })
  page.on('pageerror', (error) => seen.errors.push(String(error)))
  page.on('request', (request) => { if (!request.url().startsWith('blob:')) seen.requests.push(request.url()) })
  page.on('dialog', (dialog) => { seen.errors.push(`dialog: ${dialog.message()}`); dialog.dismiss() })
  const url = pathToFileURL(resolve(report)).href
  seen.url = url
  const open = async (hash) => {
    const begun = Date.now()
    await page.goto(url + hash, { waitUntil: 'load' })
    await page.waitForSelector('html[data-drawn]')
    return Date.now() - begun
  }
  seen.load_ms = await open('')
  seen.drawn_ms = Number(await page.evaluate(() => document.documentElement.dataset.drawn))

  const state = () => page.evaluate(() => {
    const text = (selector) => document.querySelector(selector)?.textContent ?? null
    const texts = (selector) => [...document.querySelectorAll(selector)].map((element) => element.textContent)
    const shape = (selector) => document.querySelector(selector)?.outerHTML ?? null
    const value = (id) => document.getElementById(id).value
    const table = (selector) => [...document.querySelectorAll(`${selector} tr`)].map((row) => [...row.cells].map((cell) => cell.textContent))
    const fills = (selector) => [...new Set([...document.querySelectorAll(selector)].map((path) => path.getAttribute('fill')))]
    return {
      chosen: Object.fromEntries(['region', 'window', 'tws', 'twa', 'tack', 'look', 'layer', 'arrows', 'time'].map((id) => [id, value(id)])),
      address: Object.fromEntries(new URLSearchParams(location.hash.slice(1))),
      boat: text('#boat'), made: text('#made'), answers: texts('.answers p'), chosenAnswer: texts('.answers li.chosen p'),
      links: [...document.querySelectorAll('.answers a')].map((link) => [link.getAttribute('href'), link.textContent]),
      ranking: { options: [...document.querySelectorAll('#region option')].map((option) => option.value),
        answers: [...document.querySelectorAll('.answers button')].map((button) => button.dataset.region), map: texts('#map .names text') },
      heat: table('#table'), heatColours: [...document.querySelectorAll('#table tbody td')].map((cell) => cell.style.backgroundColor),
      stopping: document.querySelectorAll('#table .stops').length, caption: text('#table caption'),
      readout: [...document.querySelectorAll('#readout tr[data-value]')].map((row) => [row.dataset.value, [...row.cells].slice(1).map((cell) => cell.textContent)]),
      heads: texts('#readout th').slice(1), cellWords: text('#cell-words'), title: text('#cell-title'),
      polar: shape('#polar svg'), curves: Object.fromEntries(['band', 'flat', 'median', 'corrected', 'swing'].map((name) => [name, document.querySelectorAll(`#polar .${name}`).length])),
      stops: texts('#polar .stop text'), map: shape('#map svg'), mapFills: fills('#map .cells path, #map .fills path'),
      arrows: document.querySelectorAll('#map .arrows path').length, scaleBar: text('#map .scale-bar text'),
      ticks: texts('#map-legend .box b'), mapLegend: text('#map-legend'), cells: document.querySelectorAll('#map .cells path').length,
      cellBoxes: [...document.querySelectorAll('#map .cells path')].slice(0, 4).map((path) => [path.getBBox().x, path.getBBox().width]),
      cellReadout: text('#cell-readout'), mapNote: text('#map-note'), time: text('#time-text'),
      sailed: { lines: document.querySelectorAll('#map .sailed path').length, rings: document.querySelectorAll('#map .sailed .ring').length,
        times: texts('#map .sailed .time'), note: text('#sailed-note') },
      notes: text('#notes'), flags: [...document.querySelectorAll('#notes li[data-flag]')].map((item) => [item.dataset.flag, item.textContent]),
      caution: text('.caution'), provenance: text('#provenance'), analystOpen: document.getElementById('analyst').open,
      paper: getComputedStyle(document.body).backgroundColor, ink: getComputedStyle(document.body).color,
      colours: [...new Set([...document.querySelectorAll('svg *, .swatch, .box i, #table td, input, select, button')].flatMap((element) => {
        const style = getComputedStyle(element)
        return [style.fill, style.stroke, style.backgroundColor, style.color]
      }))],
      bold: document.querySelectorAll('#notes b b').length,
    }
  })
  const step = async (name) => { seen.steps[name] = await state() }
  // the page hears of another colour scheme when it next draws a frame
  const frame = () => page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
  // the last choice, or the first where that is made already
  const last = (id) => page.evaluate((id) => {
    const { options, length, value } = document.getElementById(id)
    return options[options[length - 1].value === value ? 0 : length - 1].value
  }, id)

  await step('start')
  await page.locator('#time').focus()
  for (const key of ['Home', 'ArrowRight']) await page.keyboard.press(key)
  await step('slider')
  // the last region may have no polar: it is looked at and left
  await page.selectOption('#region', await last('region'))
  await step('last-region')
  await page.selectOption('#region', { index: Math.min(1, seen.steps.start.ranking.options.length - 1) })
  await step('region')
  for (const id of ['window', 'tws', 'twa', 'tack']) {
    await page.selectOption(`#${id}`, await last(id))
    await step(id)
  }
  for (const layer of ['lost', 'hs', 'wind', 'factor']) {
    await page.selectOption('#layer', layer)
    await step(`layer-${layer}`)
  }
  for (const arrows of ['wind', 'none', 'waves']) {
    await page.selectOption('#arrows', arrows)
    await step(`arrows-${arrows}`)
  }
  // another page at the same address shows the same
  await page.selectOption('#look', 'dark')
  await step('left')
  const hash = await page.evaluate(() => location.hash)
  await page.goto('about:blank')
  await open(hash)
  await step('found')
  await page.selectOption('#look', 'light')

  // the table: what it shows, copies and hands out, for every choice of tacks
  seen.table = {}
  for (const tack of await page.evaluate(() => [...document.getElementById('tack').options].map((option) => option.value))) {
    await page.selectOption('#tack', tack)
    const of = {}
    for (const view of ['corrected', 'difference', 'flat']) {
      await page.check(`input[name=view][value=${view}]`)
      await page.uncheck('#digits')
      const short = await state()
      await page.check('#digits')
      const full = await state()
      await page.click('#copy')
      await page.waitForFunction(() => document.getElementById('copied').textContent !== '')
      const copied = await page.evaluate(() => navigator.clipboard.readText())
      const [download] = await Promise.all([page.waitForEvent('download'), page.click('#download')])
      of[view] = { short: short.heat, full: full.heat, colours: full.heatColours, copied, name: download.suggestedFilename(), file: readFileSync(await download.path(), 'utf8') }
    }
    seen.table[tack] = of
  }
  await page.check('input[name=view][value=corrected]')
  await page.uncheck('#digits')
  await page.uncheck('#all-winds')
  await step('fewer-winds')
  await page.check('#all-winds')

  // the analyst's part
  const analyst = () => page.evaluate(() => ({
    worst: [...document.querySelectorAll('#worst tbody tr')].map((row) => [...row.cells].map((cell) => cell.textContent)),
    head: [...document.querySelectorAll('#worst thead th')].map((cell) => cell.textContent),
    sorted: [...document.querySelectorAll('#worst thead th[aria-sort]')].map((cell) => [cell.textContent, cell.getAttribute('aria-sort')]),
    note: document.getElementById('worst-note').textContent,
    stages: [...document.querySelectorAll('#stages rect')].map((bar) => [bar.textContent, Number(bar.getAttribute('y')), Number(bar.getAttribute('height'))]),
    stageTexts: [...document.querySelectorAll('#stages svg.drawn text')].map((text) => { const { x, y, width, height } = text.getBBox(); return [text.textContent, x, y, width, height] }),
    zero: Number([...document.querySelectorAll('#stages line[stroke="var(--ink)"]')][0]?.getAttribute('y1')),
    sea: document.getElementById('sea').outerHTML, advisories: document.getElementById('advisories').textContent,
    advisoryNote: document.getElementById('advisory-note').textContent, few: document.getElementById('few-flags').textContent,
  }))
  await page.click('#analyst > summary')
  await page.waitForSelector('#worst td')
  seen.analyst = { start: await analyst() }
  await page.click('#worst thead th:nth-child(4) button')
  seen.analyst.byAngle = await analyst()
  await page.click('#worst thead th:nth-child(4) button')
  seen.analyst.byAngleBack = await analyst()
  await page.selectOption('#worst-point', 'reaching')
  seen.analyst.reaching = await analyst()
  await page.locator('#worst button:text("show")').first().click()
  await step('worst')
  seen.analyst.shown = await analyst()

  // another sea, where the page holds an atlas: what its sliders make of the polar, and how long that takes
  seen.whatIf = await page.evaluate((seas) => {
    if (!document.getElementById('what-if-body').checkVisibility()) return null
    const set = (id, value, event) => { const control = document.getElementById(id); control.value = value; control.dispatchEvent(new Event(event)) }
    return seas.map((sea) => {
      const begun = performance.now()
      for (const key of ['tws', 'hs', 'tp', 'off']) set(`if-${key}`, sea[key], 'input')
      set('if-kind', sea.kind, 'change')
      return {
        sea, ms: (performance.now() - begun) / 5, words: document.getElementById('what-if-words').textContent,
        shown: Object.fromEntries(['tws', 'hs', 'tp', 'off'].map((key) => [key, Number(document.getElementById(`if-${key}`).value)])),
        cells: [...document.querySelectorAll('#what-if-table tbody tr')].map((row) => [parseFloat(row.cells[0].textContent), ...[...row.querySelectorAll('td.tack')].map((cell) => Number(cell.dataset.speed))]),
        curve: document.querySelectorAll('#what-if-polar path').length,
      }
    })
  }, JSON.parse(process.env.WHAT_IF_SEAS ?? '[]'))

  for (const look of ['dark', 'night', 'light', 'system']) {
    await page.selectOption('#look', look)
    await frame()
    await step(look)
    if (look !== 'system') seen.contrast[look] = await contrasts(page)
  }
  await page.emulateMedia({ colorScheme: 'dark' })
  await frame()
  await step('system-dark')
  await page.emulateMedia({ colorScheme: 'light', media: 'print' })
  await frame()
  seen.contrast.print = await contrasts(page)
  seen.print = await page.evaluate(() => ({
    paper: getComputedStyle(document.body).backgroundColor,
    controls: [...document.querySelectorAll('select, input, button')].filter((control) => control.checkVisibility() && !control.closest('.answers')).map((control) => control.id),
    answers: [...document.querySelectorAll('.answers li')].filter((item) => item.checkVisibility()).length,
  }))
  await page.emulateMedia({ media: null })
  const pdf = await page.pdf({ preferCSSPageSize: true })
  seen.print.pages = [...pdf.toString('latin1').matchAll(/\/Type\s*\/Page\b/g)].length

  seen.focus = []
  await page.selectOption('#region', { index: 0 })
  await page.evaluate(() => { document.getElementById('region').focus(); scrollTo(0, 0) })
  for (let i = 0; i < 24 && seen.focus.at(-1)?.[0] !== 'map'; i += 1) {
    if (i > 0) await page.keyboard.press('Tab')
    seen.focus.push(await page.evaluate(() => [document.activeElement.id || document.activeElement.value || document.activeElement.textContent.slice(0, 30), getComputedStyle(document.activeElement).outlineStyle]))
  }
  seen.unlabelled = await page.evaluate(() => [...document.querySelectorAll('select, input')].filter((control) => control.labels.length === 0).map((control) => control.id))

  // the map by keyboard, from where the last Tab led
  const place = () => page.evaluate(() => {
    const box = (element) => { const { x, y, width, height } = element.getBBox(); return [x, y, width, height] }
    const paths = [...document.querySelectorAll('#map .cells path')].map((cell) => cell.getAttribute('d'))
    const marks = [...document.querySelectorAll('#map .mark path')]
    return {
      readout: document.getElementById('cell-readout').textContent, region: document.getElementById('region').value,
      focus: document.activeElement.id, scrolled: scrollY, marks: marks.map(box), onCell: marks.every((mark) => paths.includes(mark.getAttribute('d'))),
    }
  })
  seen.places = [['Tab', await place()]]
  for (const key of ['ArrowLeft', 'ArrowLeft', 'ArrowRight', 'ArrowRight', 'Enter', 'ArrowUp', 'ArrowDown', 'ArrowLeft', ' ', 'x']) {
    await page.keyboard.press(key)
    seen.places.push([key, await place()])
  }
  await page.keyboard.press('Shift+Tab')
  seen.places.push(['Shift+Tab', await place()])

  await page.setViewportSize({ width: 390, height: 844 })
  await open('')
  await page.evaluate(() => { document.getElementById('analyst').open = true })
  await page.waitForTimeout(200)
  seen.phone = await page.evaluate(() => ({
    width: document.documentElement.scrollWidth,
    wide: [...document.querySelectorAll('body *')].filter((element) => !element.closest('.scroll table, svg') && element.getBoundingClientRect().right > 391).map((element) => element.id || element.tagName),
    answerEnds: document.querySelector('.answers li').getBoundingClientRect().bottom,
    heatCut: document.querySelector('#table').scrollWidth - document.querySelector('#table').clientWidth,
  }))
} finally {
  await browser.close()
  rmSync(profile, { recursive: true, force: true })
}
console.log(JSON.stringify(seen))
