import { create } from 'qrcode';
import { type Html, html } from '../html.ts';

/** Free modules around the code, as ISO/IEC 18004 asks for. */
const QUIET = 4;

/** An address as a QR code (ISO/IEC 18004) that still reads with a quarter of it hidden; black on white whatever the page is. */
export function qrPart(text: string, label: string): Html {
  const { size, data } = create(text, { errorCorrectionLevel: 'Q' }).modules;
  const rows = Array.from({ length: size }, (_, y) =>
    Array.from({ length: size }, (_, x) => (data[y * size + x] ? `M${x + QUIET} ${y + QUIET}h1v1h-1z` : '')).join(''),
  );
  const whole = size + 2 * QUIET;
  return html`<svg class="qr" role="img" aria-label="${label}" viewBox="0 0 ${whole} ${whole}" shape-rendering="crispEdges">
    <rect width="${whole}" height="${whole}" fill="#fff"/><path d="${rows.join('')}" fill="#000"/></svg>`;
}
