/**
 * A plan fixed before outcomes were looked at: hashed, dated and kept beside the study file.
 *
 * @module
 */
export { lockFor, lockPath, type PlanLock, planSha256, readLock, writeLock } from "./plan-lock.ts";
