"use strict";
window.addEventListener("load", function () {
  window.SwaggerUIBundle({
    url: "/openapi.json",
    dom_id: "#contract",
    deepLinking: true,
    validatorUrl: null,
    tryItOutEnabled: true,
    defaultModelsExpandDepth: 0,
  });
});
