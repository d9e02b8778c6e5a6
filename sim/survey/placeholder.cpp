// room placeholder
