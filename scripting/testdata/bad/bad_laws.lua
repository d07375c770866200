-- want: bad_laws.lua:10: lasts: a lognormal law needs a median above 0 and a larger value that one in ten exceeds (at most 28,000 times the median), not "11 h" and "2 h"
-- want: bad_laws.lua:12: median: "11 t" is a mass; a length of time is needed here, for example "9 h"
-- want: bad_laws.lua:14: lasts needs 'one_in_ten'; add one_in_ten = "9 h"
-- want: bad_laws.lua:14: unknown key 'onein_ten' in lasts; did you mean 'one_in_ten'?
-- want: bad_laws.lua:16: lasts: it would be over at once; write how long it lasts
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" { at = "2031-11-07 07:00",
  lasts = lognormal { median = "11 h", one_in_ten = "2 h" } }
upset "bad cobble" { at = "2031-11-07 07:00",
  lasts = lognormal { median = "11 t", one_in_ten = "26 h" } }
upset "simple cobble" { at = "2031-11-07 07:00",
  lasts = lognormal { median = "11 h", onein_ten = "26 h" } }
upset "roll change forced" { at = "2031-11-07 07:00",
  lasts = "0 h" }
