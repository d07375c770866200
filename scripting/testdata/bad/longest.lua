-- want: longest.lua:10: longest: "2 h" is not longer than 2 h, which half of the stops exceed; write the time by which such a stop is over at the latest, or a shorter median
-- want: longest.lua:12: longest: it always lasts 8 h, so there is nothing to cut; take it out
-- want: longest.lua:14: longest: "20 years" is out of range; write 1 min to 10 years
-- want: longest.lua:16: longest: "2 t" is a mass; a length of time is needed here, for example "9 h"
-- want: longest.lua:18: longest: the stop has already lasted 24 h; write a longer time, or a shorter has_lasted
-- want: longest.lua:20: bad: it is longer than the longest, 24 h; write a shorter time, or a longer longest
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "a" { kind = "short stop", unit = "rougher", at = "2031-11-07 07:00", lasts = lognormal { median = "2 h", one_in_ten = "8 h" }, longest = "2 h" }

upset "b" { kind = "short stop", unit = "rougher", at = "2031-11-07 07:00", lasts = "8 h", longest = "9 h" }

upset "c" { kind = "short stop", unit = "rougher", at = "2031-11-07 07:00", lasts = lognormal { median = "2 h", one_in_ten = "8 h" }, longest = "20 years" }

upset "d" { kind = "short stop", unit = "rougher", at = "2031-11-07 07:00", lasts = lognormal { median = "2 h", one_in_ten = "8 h" }, longest = "2 t" }

upset "e" { kind = "short stop", unit = "rougher", at = "2031-11-07 07:00", has_lasted = "24 h", lasts = lognormal { median = "2 h", one_in_ten = "8 h" }, longest = "10 h" }

upset "f" { kind = "short stop", unit = "rougher", at = "2031-11-07 07:00", lasts = lognormal { median = "2 h", one_in_ten = "8 h" }, longest = "24 h", told = { after = "5 min", low = "1 h", likely = "3 h", bad = "30 h" } }

upset "fine" { kind = "short stop", unit = "rougher", at = "2031-11-07 07:00", lasts = "8 h", longest = "none" }
