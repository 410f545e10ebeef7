// The contrast of every text that is seen on a page against what lies behind it (WCAG 2.2, relative luminance).

// The least of them, and the texts that stay below 4.5.
export function contrasts(page) {
  return page.evaluate(() => {
    const parse = (colour) => {
      const numbers = (colour.match(/[\d.]+/g) ?? []).map(Number)
      return colour.startsWith('rgb') ? [...numbers.slice(0, 3), numbers[3] ?? 1] : [0, 0, 0, 0]
    }
    const over = ([r, g, b, a], [R, G, B]) => [r * a + R * (1 - a), g * a + G * (1 - a), b * a + B * (1 - a), 1]
    const luminance = ([r, g, b]) => {
      const [x, y, z] = [r, g, b].map((part) => (part / 255 <= 0.04045 ? part / 255 / 12.92 : ((part / 255 + 0.055) / 1.055) ** 2.4))
      return 0.2126 * x + 0.7152 * y + 0.0722 * z
    }
    const contrast = (a, b) => {
      const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y)
      return (high + 0.05) / (low + 0.05)
    }
    const behind = (element) => {
      const layers = []
      for (let at = element; at; at = at.parentElement) {
        const colour = parse(getComputedStyle(at).backgroundColor)
        layers.push(colour)
        if (colour[3] === 1) break
      }
      return layers.reverse().reduce((below, layer) => over(layer, below), [255, 255, 255, 1])
    }
    const found = []
    for (const element of document.querySelectorAll('body *')) {
      const own = [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim() !== '')
      if (!own || !element.checkVisibility() || element.closest('script, noscript, style, title, option')) continue
      const style = getComputedStyle(element), inSvg = element.namespaceURI.endsWith('svg')
      if (inSvg && element.localName !== 'text') continue
      const background = inSvg && element.classList.contains('halo') ? parse(style.stroke) : behind(inSvg ? element.ownerSVGElement.parentElement : element)
      found.push([contrast(over(parse(inSvg ? style.fill : style.color), background), background), element.textContent.trim().slice(0, 40)])
    }
    found.sort((a, b) => a[0] - b[0])
    return { texts: found.length, least: found[0], below: found.filter(([ratio]) => ratio < 4.5) }
  })
}
