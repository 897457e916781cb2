@echo off
rem Double-click: starts Wedgewright and opens it in the browser. This window must stay open; close it to stop.
cd /d "%~dp0\..\.."
where node >nul 2>nul || (echo Install Node 20 or newer from https://nodejs.org first. & pause & exit /b 1)
node src\launch.mjs start --open
pause
