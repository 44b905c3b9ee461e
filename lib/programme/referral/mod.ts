/** What a team may expect of a repair here, by profile and by band of surgeon volume. @module */
export { type ReferralCell, type ReferralTable, referralTable } from "./referral-table.ts";
export {
  type Chance,
  type ReferralData,
  type ReferralModel,
  referralModel,
} from "./referral-model.ts";
