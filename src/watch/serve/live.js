(function () {
  "use strict";
  var round = document.currentScript.getAttribute("data-round");
  var id = "yardwright-watch";
  function panel(title, text) {
    var box = document.getElementById(id);
    if (!box) {
      box = document.createElement("div");
      box.id = id;
      box.setAttribute("role", "alert");
      box.style.cssText = "position:fixed;left:0;right:0;bottom:0;z-index:2147483647;max-height:45vh;overflow:auto;" +
        "box-sizing:border-box;padding:10px 16px;border-top:3px solid #000;background:#fff8d6;color:#111;" +
        "font:14px/1.45 Arial,'Liberation Sans',sans-serif;box-shadow:0 -2px 10px rgba(0,0,0,.35)";
      box.appendChild(document.createElement("b"));
      var pre = document.createElement("pre");
      pre.style.cssText = "margin:6px 0 0;white-space:pre-wrap;overflow-wrap:anywhere;" +
        "font:13px/1.35 'DejaVu Sans Mono','Liberation Mono',Consolas,monospace";
      box.appendChild(pre);
      document.body.appendChild(box);
    }
    box.firstChild.textContent = title;
    box.lastChild.textContent = text;
    box.lastChild.hidden = !text;
  }
  function clear() {
    var box = document.getElementById(id);
    if (box) { box.remove(); }
  }
  function listen() {
    var source = new EventSource("/-/events");
    source.addEventListener("built", function (event) {
      clear();
      if (JSON.parse(event.data).round !== round) { source.close(); location.reload(); }
    });
    source.addEventListener("broken", function (event) {
      panel("The yard has errors. What you see is the last one without.", JSON.parse(event.data).text);
    });
    source.onerror = function () {
      panel("The watch has stopped or cannot be reached. Trying again\u2026", "");
      if (source.readyState === EventSource.CLOSED) { setTimeout(listen, 2000); }
    };
  }
  var style = document.createElement("style");
  style.textContent = "@media print{#" + id + "{display:none}}";
  document.head.appendChild(style);
  listen();
})();
