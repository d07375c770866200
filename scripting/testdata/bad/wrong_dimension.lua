-- want: wrong_dimension.lua:3: length: "14 t" is a mass; a length of time is needed here, for example "9 h"
scenario "bad" { works = "larkfell", from = "2031-11-07 06:00",
  length = "14 t" }
