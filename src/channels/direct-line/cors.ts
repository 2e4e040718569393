import type { RequestHandler } from 'restify';

/**
 * Lets pages of other origins use stock clients. Tokens travel in a header and no route here
 * knows cookies, so a foreign page gains nothing that its server could not do.
 */
export const allowOtherOrigins: RequestHandler = (req, res, next) => {
  if (!req.path().startsWith('/v3/directline/')) return next();
  res.setHeader('Access-Control-Allow-Origin', '*');
  res.setHeader('Cross-Origin-Resource-Policy', 'cross-origin');
  if (req.method !== 'OPTIONS') return next();
  res.sendRaw(204, '', {
    'Access-Control-Allow-Headers': 'authorization, content-type, prefer, x-ms-bot-agent, x-requested-with',
    'Access-Control-Allow-Methods': 'GET, POST',
    'Access-Control-Max-Age': '86400',
  });
  next(false);
};
