upset "stand wreck" {
  unti = "finishing train",
  at = "2031-13-07 22:40",
  lasts = "9 kg",
  length = 14,
  share = "much",
  sorry = "yes",
  repeats = 2.5,
  slabs = "3.5 slabs",
  ruins = "bars in the tran",
  told = { low = "4 h", likely = "8 h" },
  word = "low 4 h, likely 8 h",
  for_ = {},
  name = "",
  heats = { "first", 2 },
  act = "go",
  back = { pace = "60 %", fro = "2 h" },
  fixed_for = lognormal { median = "2 h" },
}
-- problems
-- 1: upset "stand wreck" needs 'unit'; add unit = "..."
-- 2: unknown key 'unti' in upset "stand wreck"; did you mean 'unit'?
-- 3: at: "2031-13-07 22:40" has no such month; write date and time like "2031-11-07 22:40"
-- 4: lasts: "9 kg" is a mass; a length of time is needed here, for example "9 h"
-- 5: length: 14 has no unit; write a length of time as a text with its unit, such as "9 h"
-- 6: share: "much" does not start with a number; a share is needed here, for example "60 %"
-- 7: sorry: "yes" is not true or false; write one of the two, without quotation marks
-- 8: repeats: 2.5 is not a whole number; write for example 3
-- 9: slabs: "3.5 slabs" is not a whole number of pieces below 1,000,000,000; write for example "12"
-- 10: ruins: "bars in the tran" is not known here; did you mean "bars in the train"?
-- 11: told needs 'bad'; add bad = "9 h"
-- 12: word: "low 4 h, likely 8 h" does not say "bad"; write for example "low 4 h, likely 8 h, bad 26 h"
-- 13: for_: { ... } is not a text; write it in quotation marks
-- 14: name: the text is empty; write something between the quotation marks or take the key out
-- 15: item 2 of heats: 2 is not a text; write it in quotation marks
-- 16: act: "go" is not a function; write function (...) ... end
-- 17: unknown key 'fro' in back; did you mean 'for_'?
-- 18: fixed_for: lognormal { ... } is not a length of time; write for example "9 h"
