// What readers of every colour vision see of the page's colours, as JSON: luminance of the ordered scale, and the least
// difference between colours that must be told apart.
// node colours.mjs
import { readFileSync } from 'node:fs'

const text = readFileSync(new URL('../../src/report/page/scales.js', import.meta.url), 'utf8')
const { causeLook, contrast, GAINS, inkOn, KNOWN_CAUSES, luminance, SCALES, sizeColour } = await import(`data:text/javascript,${encodeURIComponent(text)}`)

// Machado, Oliveira & Fernandes 2009, "A physiologically-based model for simulation of color vision deficiency", severity 1
// (their table of matrices, for linear RGB).
const VISIONS = {
  normal: [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
  protan: [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
  deutan: [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.01182, 0.04294, 0.968881]],
  tritan: [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.3039]],
}
const linear = (hex) => [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16) / 255).map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4))
const seen = (hex, vision) => VISIONS[vision].map((row) => Math.min(1, Math.max(0, row.reduce((sum, m, i) => sum + m * linear(hex)[i], 0))))

// CIE 1976 L*a*b*, white of D65.
function lab([r, g, b]) {
  const x = (0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.95047, y = 0.2126 * r + 0.7152 * g + 0.0722 * b, z = (0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.08883
  const f = (t) => (t > 216 / 24389 ? Math.cbrt(t) : (24389 / 27 * t + 16) / 116)
  return [116 * f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))]
}
const difference = (a, b, vision) => Math.hypot(...lab(seen(a, vision)).map((v, i) => v - lab(seen(b, vision))[i]))
const pairs = (items) => items.flatMap((a, i) => items.slice(i + 1).map((b) => [a, b]))
const least = (some, vision) => Math.min(...some.map(([a, b]) => difference(a, b, vision)))
const round = (value) => Math.round(value * 100) / 100

const found = {}
for (const look of ['light', 'dark', 'night']) {
  const sizes = SCALES.lost.borders.map((_, k) => k).concat(7).map((k) => sizeColour(look, k))
  const causes = KNOWN_CAUSES.map((stage) => causeLook(look, KNOWN_CAUSES, stage))
  const of = (some) => Object.fromEntries(Object.keys(VISIONS).map((vision) => [vision, round(least(some, vision))]))
  found[look] = {
    luminance: sizes.map((colour) => round(1000 * luminance(colour)) / 1000),
    neighbours: of(sizes.slice(1).map((colour, k) => [sizes[k], colour])),
    gains: of(sizes.map((colour) => [colour, sizeColour(look, GAINS)])),
    causes: of(pairs(causes.map((cause) => cause.colour))),
    patterns: new Set(causes.map((cause) => cause.pattern)).size,
    ink: round(Math.min(...[...sizes, sizeColour(look, GAINS)].map((colour) => contrast(colour, inkOn(look, colour))))),
  }
}
console.log(JSON.stringify(found))
