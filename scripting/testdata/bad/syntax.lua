-- want: syntax.lua:7: not understood at 'end' | line 6 leaves a '(' open
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
plan "p" (function (works)
  works:await("2 h"
end)
