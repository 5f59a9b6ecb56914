import { RequestError, systemCode } from '../errors.ts';
import { explainError, type StoreError } from '../store/files/store-error.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.http.storeStatus;

/** The HTTP status that fits what the store could not do. 422: the trace is there, but cannot be used so. */
function statusOf(code: string): number {
  switch (code) {
    case 'bad-request':
    case 'bad-name':
      return 400;
    case 'not-found':
      return 404;
    case 'exists':
    case 'in-use':
    case 'running':
      return 409;
    case 'too-large':
      return 413;
    case 'cancelled':
      return 499;
    case 'internal':
      return 500;
    case 'closing':
      return 503;
    case 'lock-lost':
    case 'read-only':
    case 'disk-full':
    case 'disk-error':
      return 507;
    default:
      return 422;
  }
}

export function asRequestErrorOfStore(error: StoreError): RequestError {
  return new RequestError(statusOf(error.code), error.code, error.message);
}

/**
 * A call to the operating system that failed, as an answer: the other end has gone, or the disk cannot do what was asked. `what`
 * completes "Cannot …". Null when the error is none of a call.
 */
export function asRequestErrorOfCall(error: unknown, what: string): RequestError | null {
  const code = systemCode(error);
  if (code === 'ECONNRESET' || code === 'EPIPE' || code === 'ERR_STREAM_PREMATURE_CLOSE') return new RequestError(499, 'cancelled', words.theRequestWasGiven);
  if (code === null || typeof (error as NodeJS.ErrnoException).syscall !== 'string') return null;
  return asRequestErrorOfStore(explainError(error, what));
}
