-- want: open_text.lua:3: unterminated string at 'low 4 h)'

local t = { told = "low 4 h)
}
