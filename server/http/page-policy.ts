/**
 * What the page may do: own files only, no inline code, no other host. `wasm-unsafe-eval` lets the page's model runtime
 * compile; it does not allow `eval`. The server says it in a header, the page itself in its head. See w3.org/TR/CSP3.
 */
export const pagePolicy = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "media-src 'self' blob:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
] as const;
