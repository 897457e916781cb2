// What a page may load: only what this server gives it. Plain http must keep working, since phones reach the studio's
// machine by its address in the local network.
import type { HelmetOptions } from "helmet";

export const contentPolicy: HelmetOptions = {
  contentSecurityPolicy: {
    useDefaults: true,
    directives: {
      "default-src": ["'self'"],
      // blob: shows a chosen picture before it is sent; data: small generated images.
      "img-src": ["'self'", "blob:", "data:"],
      "style-src": ["'self'"],
      "font-src": ["'self'"],
      // Would turn every address into https, which nobody answers here.
      "upgrade-insecure-requests": null,
    },
  },
  // Our own forms then say where they come from, so that an origin of "null" can be refused; other sites learn nothing.
  referrerPolicy: { policy: "same-origin" },
  // Browsers ignore these two over plain http to another machine, with an error in the console.
  crossOriginOpenerPolicy: false,
  originAgentCluster: false,
  strictTransportSecurity: false,
};
