/**
 * What the page may do: the headers of every answer, and the part of them that the built page carries itself, so that it
 * holds on any host with plain files.
 *
 * Sources: W3C Content Security Policy Level 3, Permissions Policy, Referrer Policy; WHATWG Fetch (nosniff), HTML (opener).
 */

/** Content-Security-Policy, directive by directive: nothing is allowed but what is named, each from the page's own place. */
const CONTENT: Readonly<Record<string, string>> = {
  'default-src': "'none'",
  // WebAssembly: the decoders of FLAC, MP3, Vorbis and Opus. It allows no evaluation of JavaScript.
  'script-src': "'self' 'wasm-unsafe-eval'",
  'style-src': "'self'",
  // data: the page's icon; blob: pictures that the page draws itself, to be saved.
  'img-src': "'self' data: blob:",
  'font-src': "'self'",
  // The practice takes. Nothing can be sent elsewhere: there is no other address.
  'connect-src': "'self'",
  'worker-src': "'self'",
  // blob: a kept take, played back.
  'media-src': "'self' blob:",
  'manifest-src': "'self'",
  'base-uri': "'none'",
  'form-action': "'none'",
  'frame-ancestors': "'none'",
};

/** Browsers refuse these in a `meta` element, and say so. */
const HEADER_ONLY = ['frame-ancestors'];

/** What the page uses of the device; what every browser that knows this header knows besides is off. */
const ALLOWED = ['microphone', 'screen-wake-lock'];
const DENIED = [
  'accelerometer',
  'camera',
  'display-capture',
  'encrypted-media',
  'geolocation',
  'gyroscope',
  'hid',
  'magnetometer',
  'midi',
  'payment',
  'publickey-credentials-get',
  'serial',
  'usb',
  'xr-spatial-tracking',
];

/** The Content-Security-Policy as header. */
export const CONTENT_POLICY = policyText(() => true);

/** The Content-Security-Policy for `<meta http-equiv>` in the page: without what only a header can say. */
export const META_POLICY = policyText((directive) => !HEADER_ONLY.includes(directive));

/** The headers of every answer, also of refusals. */
export const HEADERS: Readonly<Record<string, string>> = {
  'Content-Security-Policy': CONTENT_POLICY,
  'Permissions-Policy': [...ALLOWED.map((name) => `${name}=(self)`), ...DENIED.map((name) => `${name}=()`)].join(', '),
  'Referrer-Policy': 'no-referrer',
  'X-Content-Type-Options': 'nosniff',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
};

function policyText(holds: (directive: string) => boolean): string {
  return Object.entries(CONTENT)
    .filter(([directive]) => holds(directive))
    .map(([directive, sources]) => `${directive} ${sources}`)
    .join('; ');
}
