// Whether a request is signed as RFC 9421 has it, asked of a library that shares no code with what signed it.
// usage: node verify_signature.mjs NODE_MODULES < {"method", "url", "headers", "key_id", "key"}; prints true or false.
import {createHmac, timingSafeEqual} from 'node:crypto';
import {createRequire} from 'node:module';
import {readFileSync} from 'node:fs';

const {httpbis} = createRequire(process.argv[2] + '/')('http-message-signatures');
const asked = JSON.parse(readFileSync(0, 'utf8'));

const verified = await httpbis.verifyMessage({
  requiredFields: ['@method', '@target-uri', 'content-type', 'content-digest'],
  requiredParams: ['created', 'keyid', 'alg'],
  maxAge: 120,
  keyLookup: async parameters => parameters.keyid !== asked.key_id ? null : {
    id: asked.key_id,
    algs: ['hmac-sha256'],
    verify: async (data, signature) => {
      const own = createHmac('sha256', asked.key).update(data).digest();
      return own.length === signature.length && timingSafeEqual(own, signature);
    },
  },
}, {method: asked.method, url: asked.url, headers: asked.headers}).catch(error => error.message);
console.log(verified);
