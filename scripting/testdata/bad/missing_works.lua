-- want: missing_works.lua:3: works: there is no file "scenarios/nowhere/works.lua"; write a name such as "larkfell", or a path from the folder of this file
scenario "bad" { from = "2031-11-07 06:00", length = "14 d",
  works = "nowhere" }
