-- want: bad_levels.lua:8: slab yard: "30000 t" is more than the slab yard holds, 26,000 t; write a level that fits
-- want: bad_levels.lua:9: slab yrd: there is no store "slab yrd"; did you mean "slab yard"?
-- want: bad_levels.lua:10: torpedoes: "100 m" is a length; a mass is needed here, for example "23.2 t"
-- want: bad_levels.lua:11: conveyor: 37 is more than the conveyor holds, 36 coils; write a level that fits
-- want: bad_levels.lua:12: coil yard is not a number that can be used; is something divided by zero?
scenario "bad" { works = "larkfell", from = "2031-11-07 06:00", length = "2 d",
  levels = {
    ["slab yard"] = "30000 t",
    ["slab yrd"] = "3000 t",
    torpedoes = "100 m",
    conveyor = 37,
    ["coil yard"] = 0/0,
  },
}
